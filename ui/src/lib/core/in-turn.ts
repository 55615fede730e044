// A screen's own question and the program's, one after the other: a yes to the first is none to the second.
import { questioned } from './transport';

/**
 * For one form. The screen's question, where there is one, is asked before `work` begins; `work` is sure only once the program
 * itself has asked. It must keep nothing before the program could ask.
 */
export function inTurn(): <T>(own: string | undefined, confirmed: boolean, work: (sure: boolean) => Promise<T>) => Promise<T> {
  let begun = false;
  return async (own, confirmed, work) => {
    if (own && !confirmed) {
      begun = false;
      throw questioned(own);
    }
    const sure = confirmed && begun;
    begun = true;
    return work(sure);
  };
}
