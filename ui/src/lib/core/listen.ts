// The microphone, opened once for some plucks: raw samples, nothing of what phones do to voices.
import { words } from '$lib/words';
import { joined, peakOf, type Take } from './wav';

export interface Microphone {
  /** Hears so many seconds from now on; `level` is told as it goes, 0 to 1. */
  take(seconds: number, level?: (peak: number) => void): Promise<Take>;
  close(): void;
}

/** Whether this device can hear at all. */
export function canListen(): boolean {
  return typeof AudioContext === 'function' && !!navigator.mediaDevices?.getUserMedia;
}

/** Opens the microphone; asks the person the first time. Throws in words where it is refused or missing. */
export async function openMicrophone(): Promise<Microphone> {
  // Cleaning made for voices takes a wire's tones out, and a level that follows hides that they die away.
  const audio = { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: false };
  const stream = await navigator.mediaDevices.getUserMedia({ audio }).catch((fault: unknown) => {
    const name = fault instanceof DOMException ? fault.name : '';
    throw new Error(name === 'NotAllowedError' ? words.heard.notAllowed : words.heard.noMicrophone);
  });
  const context = new AudioContext();
  try {
    await context.resume();
    const source = context.createMediaStreamSource(stream);
    let hear: (block: Float32Array) => void = () => undefined;
    await attach(context, source, (block) => hear(block));
    return {
      take: (seconds, level) =>
        new Promise((done, fail) => {
          const blocks: Float32Array[] = [];
          const wanted = seconds * context.sampleRate;
          let got = 0;
          const late = setTimeout(() => fail(new Error(words.heard.noMicrophone)), seconds * 3000 + 2000);
          hear = (block) => {
            blocks.push(block);
            got += block.length;
            level?.(peakOf(block));
            if (got < wanted) return;
            hear = () => undefined;
            clearTimeout(late);
            done({ samples: joined(blocks), rate: context.sampleRate });
          };
        }),
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
