import type { CommonFile, WordSlots } from '../../phrasebanks/schema';
import type { VisitStart } from '../records/schema';
import type { Site } from './site';

/** What a visit puts into the slots: what was typed for it, else the site's words, else those of the language. */
export function particularsOf(
  { language, slots }: CommonFile,
  site: Site,
  typed: Partial<WordSlots & { callNumber: string }> = {},
): VisitStart['particulars'] {
  const said = Object.fromEntries(Object.entries(typed).filter(([, text]) => text.trim() !== ''));
  return {
    ...(slots as WordSlots),
    ...site.words[language],
    callNumber: site.callNumber,
    emergencyNumber: site.emergencyNumber,
    ...said,
  };
}
