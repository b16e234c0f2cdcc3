import { chooseVoice } from './choose';
import { browserEmbeddedVoice } from './embedded/voice';
import { silent } from './silent';
import { systemVoice } from './system';
import type { Speaking } from './types';

/**
 * The voices of a browser, best first: the computer's own, ours, and captions alone.
 * @param openOutput where our voice sounds; called at its first word
 */
export function browserVoice(openOutput?: () => AudioNode): Speaking {
  return chooseVoice([systemVoice(window.speechSynthesis), browserEmbeddedVoice(openOutput), silent]);
}
