import type { Heard } from './types';

/** What was typed was meant: nothing to be unsure of. */
export function heardByTyping(text: string): Heard {
  return { text: text.trim(), confidence: 1, alternatives: [], engine: 'typed' };
}
