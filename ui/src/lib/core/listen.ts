// The microphone: opened once for some plucks, raw samples with nothing of what phones do to voices; or for a voice.
import { words } from '$lib/words';
import { joined, peakOf, type Take } from './wav';

export interface Hearing {
  /** Ends it here; what was heard so far is the take. */
  stop(): void;
  done: Promise<Take>;
}

export interface Microphone {
  /** Hears so many seconds from now on, or till it is stopped; `level` is told as it goes, 0 to 1, with the seconds heard. */
  hear(seconds: number, level?: (peak: number, heard: number) => void): Hearing;
  /** The same, never stopped before. */
  take(seconds: number, level?: (peak: number) => void): Promise<Take>;
  close(): void;
}

/** What is listened to: a wire as it sounds, or a voice, which phones may clean and which needs fewer samples. */
export type What = 'wire' | 'voice';
/** Samples a second of a voice: all that is understood of it, in a third of the bytes. */
const VOICE_RATE = 16_000;

/** Whether this device can hear at all. */
export function canListen(): boolean {
  return typeof AudioContext === 'function' && !!navigator.mediaDevices?.getUserMedia;
}

/** Opens the microphone; asks the person the first time. Throws in words where it is refused or missing. */
export async function openMicrophone(what: What = 'wire'): Promise<Microphone> {
  // Cleaning made for voices takes a wire's tones out, and a level that follows hides that they die away.
  const voice = what === 'voice';
  const say = voice ? words.spoken : { notAllowed: words.heard.notAllowed, none: words.heard.noMicrophone };
  const audio = { channelCount: 1, echoCancellation: voice, noiseSuppression: voice, autoGainControl: voice };
  const stream = await navigator.mediaDevices.getUserMedia({ audio }).catch((fault: unknown) => {
    const name = fault instanceof DOMException ? fault.name : '';
    throw new Error(name === 'NotAllowedError' ? say.notAllowed : say.none);
  });
  const { context, source } = sourceOf(stream, voice ? VOICE_RATE : undefined);
  try {
    await context.resume();
    let hear: (block: Float32Array) => void = () => undefined;
    await attach(context, source, (block) => hear(block));
    const listening = (seconds: number, level?: (peak: number, heard: number) => void): Hearing => {
      const blocks: Float32Array[] = [];
      const wanted = seconds * context.sampleRate;
      let got = 0;
      let stop = () => {};
      const done = new Promise<Take>((kept, fail) => {
        // A device that slept has heard less than was wanted: what it heard is not lost.
        const late = setTimeout(() => (got > 0 ? stop() : fail(new Error(say.none))), seconds * 3000 + 2000);
        stop = () => {
          hear = () => undefined;
          clearTimeout(late);
          kept({ samples: joined(blocks), rate: context.sampleRate });
        };
        hear = (block) => {
          blocks.push(block);
          got += block.length;
          level?.(peakOf(block), got / context.sampleRate);
          if (got >= wanted) stop();
        };
      });
      return { stop, done };
    };
    return {
      hear: listening,
      take: (seconds, level) => listening(seconds, level).done,
      close: () => {
        stream.getTracks().forEach((track) => track.stop());
        void context.close();
      }
    };
  } catch (fault) {
    stream.getTracks().forEach((track) => track.stop());
    void context.close();
    throw fault;
  }
}

/** The stream in a context of this rate; of the device's own where a web view joins no two rates. */
function sourceOf(stream: MediaStream, sampleRate?: number): { context: AudioContext; source: MediaStreamAudioSourceNode } {
  const context = new AudioContext(sampleRate === undefined ? {} : { sampleRate });
  try {
    return { context, source: context.createMediaStreamSource(stream) };
  } catch (fault) {
    void context.close();
    if (sampleRate === undefined) throw fault;
    return sourceOf(stream);
  }
}

/** Hands every block of sound on: beside the page where the web view can, else within it. */
async function attach(context: AudioContext, source: MediaStreamAudioSourceNode, hear: (block: Float32Array) => void): Promise<void> {
  if (context.audioWorklet) {
    await context.audioWorklet.addModule(new URL('listen.js', document.baseURI));
    const node = new AudioWorkletNode(context, 'listen', { numberOfOutputs: 0 });
    node.port.onmessage = (event: MessageEvent<Float32Array>) => hear(event.data);
    source.connect(node);
    return;
  }
  const node = context.createScriptProcessor(4096, 1, 1);
  node.onaudioprocess = (event) => hear(event.inputBuffer.getChannelData(0).slice());
  source.connect(node);
  // Without a way out it is not asked for sound; it gives silence.
  node.connect(context.destination);
}
