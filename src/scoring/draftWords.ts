/**
 * Pairs of opposites by language: the second of a pair is heard as the first, negated. "Not separated" is
 * then "connected". General words only; what opposes what in a trade belongs into a phrasebank.
 */
export const opposites: Record<string, readonly (readonly [string, string])[]> = {
  en: [
    ['connected', 'separated'],
    ['connected', 'disconnected'],
    ['connected', 'separate'],
    ['open', 'closed'],
    ['open', 'shut'],
    ['same', 'different'],
    ['same', 'difference'],
    ['same', 'differ'],
    ['on', 'off'],
    ['positive', 'negative'],
    ['complete', 'incomplete'],
    ['work', 'broken'],
    ['more', 'less'],
    ['high', 'low'],
    ['increase', 'decrease'],
    ['up', 'down'],
    ['always', 'never'],
    ['before', 'after'],
    ['inside', 'outside'],
    ['full', 'empty'],
    ['hot', 'cold'],
    ['wet', 'dry'],
    ['clean', 'dirty'],
    ['fast', 'slow'],
    ['start', 'stop'],
    ['safe', 'dangerous'],
    ['near', 'far'],
    ['left', 'right'],
    ['top', 'bottom'],
    ['above', 'below'],
    ['first', 'last'],
    ['all', 'none'],
  ],
};

/** Words and phrases by which a speaker gives no answer. */
export const noAnswer: Record<string, readonly string[]> = {
  en: [
    'do not know',
    'no idea',
    'not sure',
    'do not understand',
    'no clue',
    'can not remember',
    'what do you mean',
    'tell me',
    'help me',
    'i am confused',
    'do not remember',
    'do not get it',
  ],
};
