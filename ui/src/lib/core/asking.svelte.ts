// An act that the program may question: the question as it stands on screen, and the yes that does the act again.
import { dismiss, sayFault } from './toasts.svelte';
import { questionOf } from './transport';

/** What an act is called where it is asked about; read once it is. */
interface Told {
  title: string;
  /** The yes in the words of the act. */
  yesText?: string;
  /** Wires and acts that it is about: the words of a refusal go once one of the same is done. */
  about?: (string | number)[];
}

interface Asked {
  question: string;
  told: Told;
  yes: () => Promise<void>;
}

/**
 * Does acts for handlers: what the program questions stands in `asked` (shown by `parts/Doubt.svelte`) until a person says
 * yes, which does the same again as confirmed, or goes back. What a second act is asked meanwhile waits behind it. A
 * refusal is told in words. What a person picked for the act belongs to the screen and stays as it is.
 */
export class Asking {
  #waiting: Asked[] = $state.raw([]);
  #running = $state(0);
  #refused: { note: number; about: Told['about'] } | undefined;

  /** The question that is to be answered now. */
  get asked(): Asked | undefined {
    return this.#waiting[0];
  }

  /** While an act is done. Whether a second touch is one too many, the screen knows. */
  get busy(): boolean {
    return this.#running > 0;
  }

  async act(told: Told, work: (confirmed: boolean) => Promise<unknown>, confirmed = false): Promise<void> {
    this.#running += 1;
    // One that is refused while this runs has not been read yet.
    const before = this.#refused;
    try {
      await work(confirmed);
      if (before && before === this.#refused && before.about?.some((one) => told.about?.includes(one))) dismiss(before.note);
    } catch (fault) {
      const question = questionOf(fault);
      if (question === undefined) this.#refused = { note: sayFault(fault), about: told.about };
      else this.#ask({ question, told, yes: () => this.act(told, work, true) });
    } finally {
      this.#running -= 1;
    }
  }

  /** The question goes before its act is done again: that one may ask another. */
  async yes(): Promise<void> {
    const asked = this.asked;
    this.close();
    await asked?.yes();
  }

  close(): void {
    this.#waiting = this.#waiting.slice(1);
  }

  /** Where a person goes elsewhere: nothing there answers for what was picked here. */
  leave(): void {
    this.#waiting = [];
  }

  /** A touch that came twice asks once. */
  #ask(asked: Asked): void {
    const same = (other: Asked) => other.question === asked.question && other.told.title === asked.told.title;
    const others = this.#waiting.filter((other) => !same(other));
    this.#waiting = others.length < this.#waiting.length ? this.#waiting.map((o) => (same(o) ? asked : o)) : [...others, asked];
  }
}
