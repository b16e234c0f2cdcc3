import { chooseVoice } from './choose';
import { browserEmbeddedVoice } from './embedded/voice';
import { silent } from './silent';
import { systemVoice } from './system';
import type { Speaking } from './types';

/** The voices of a browser, best first: the computer's own, ours, and captions alone. */
export function browserVoice(): Speaking {
  return chooseVoice([systemVoice(window.speechSynthesis), browserEmbeddedVoice(), silent]);
}
