import type { CommonFile } from '../../phrasebanks/schema';

/**
 * Sentences of the learner's summary and handout. Slots: {list} {n} {all} and those of the visit.
 * English here; `wordsFrom` takes from a language's phrasebank what it holds.
 */
export interface LearnerWords {
  language: string;
  /** First sentence, by how the visit ended. */
  thanks: string;
  stopped: string;
  allSaid: string;
  someSaid: string;
  well: string;
  person: string;
  onUs: string;
  notReached: string;
  questionKept: string;
  questionsKept: string;
  whenToCall: string;
  emergency: string;
  cautions: string[];
}

export const englishWords: LearnerWords = {
  language: 'en',
  thanks: 'Thank you for telling it back to me.',
  stopped: 'We stopped early, and that is fine. This is where we are.',
  allSaid: 'You told me all {all} parts in your own words.',
  someSaid: 'You told me {n} of {all} parts in your own words.',
  well: 'This went well: {list}.',
  person: 'A person will go over this with you: {list}.',
  onUs: 'That part is on us. We want to explain it better.',
  notReached: 'We did not get to this yet: {list}. A person will go over it with you.',
  questionKept: 'I kept your question for {careTeam}.',
  questionsKept: 'I kept your {n} questions for {careTeam}.',
  whenToCall: 'If you have a question at home, call {careTeam} at {callNumber}.',
  emergency: 'In an emergency, call {emergencyNumber}.',
  // Common practice: the maker's leaflet and the care team's orders come before any general teaching.
  cautions: [
    'Follow the leaflet that came with your device. It comes first.',
    'If {careTeam} told you something else, do what they told you.',
    'Do not change your medicine by yourself. Ask {careTeam} first.',
    'If you can hardly breathe, call {emergencyNumber} at once.',
  ],
};

/** The same sentences with what a phrasebank says in its own language; the rest stays English and has to be added. */
export function wordsFrom(common: CommonFile): LearnerWords {
  const said = common.prompts;
  return {
    ...englishWords,
    language: common.language,
    thanks: said.summaryLead ?? englishWords.thanks,
    well: said.summaryWell ?? englishWords.well,
    person: said.summaryPerson ?? englishWords.person,
  };
}
