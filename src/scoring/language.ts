/** What judging must know of a language. One file a language in languages/. */
export interface LanguagePack {
  language: string;
  stem(word: string): string;
  /** Word -> the words it stands for: contractions, forms without an apostrophe. */
  expand: Record<string, string>;
  /** Irregular forms -> the form that is stemmed. */
  irregular: Record<string, string>;
  /** Words and phrases that carry nothing. Longest first wins. */
  fillers: string[];
  /** Words that never decide a match by themselves. */
  stopWords: string[];
  /** Frequent words that are never taken for a misspelling of another. */
  common: string[];
  numbers: {
    units: Record<string, number>;
    tens: Record<string, number>;
    /** Multiply what stands before them: hundred, thousand. */
    scales: Record<string, number>;
    /** May stand inside a number: "and". */
    joiners: string[];
    /** Loose amounts: "couple" 2, "few" 3, "several" 5. */
    vague: Record<string, number>;
    half: string[];
    quarter: string[];
    /** Between two numbers of a range. */
    to: string[];
    /** Words for one that need a noun after them ("a minute"). */
    one: string[];
    ordinals: Record<string, number>;
  };
  /** Word -> unit. */
  durations: Record<string, 'second' | 'minute' | 'hour' | 'day' | 'week' | 'month' | 'year'>;
  distances: Record<string, 'foot' | 'meter' | 'inch' | 'yard'>;
  /** "times" */
  times: string[];
  once: Record<string, number>;
  /** "every", "each", "per" */
  every: string[];
  /** "other", "second": every other day */
  other: string[];
  /** "daily" -> per day; with how many times. */
  adverbs: Record<string, { per: 'day' | 'week' | 'month'; value: number }>;
  weekdays: string[];
  /** "count to ten" is ten seconds. */
  count: string[];

  negation: {
    /** Negate what follows. */
    plain: string[];
    /** Verbs that negate what follows and undo a negation before them: forget, skip. */
    verbs: string[];
    /** Negate what stands before: "is not needed", "is a no no". */
    after: string[];
    /** Hold a negator but negate nothing. */
    never: string[];
    /** A leading "no" before one of these answers a question and negates nothing. */
    answerBefore: string[];
    /** End the reach of a negator. */
    ends: string[];
    /** After "and", these begin a new statement. */
    verbsAfterAnd: string[];
    /** End the reach when they are objects. */
    objects: string[];
    /** Verbs whose object pronoun does not end the reach: "don't let it get wet". */
    carries: string[];
    /** After an object pronoun the reach goes on over these: "don't put it in water". */
    prepositions: string[];
    /** Verbs that begin a new statement after the negated words: "I can't talk call ..." */
    verbsNew: string[];
    /** Verbs that carry no content of their own: "don't need to". */
    light: string[];
    /** Before a verb these keep it in the reach: "to", "or". */
    joins: string[];
    /** Stems of verbs that may stand alone: "it doesn't stop". */
    intransitive: string[];
    /** Negators that are subjects and reach over the whole statement: "nobody". */
    subjects: string[];
    /** Negators that may close a statement: "..., nothing. I ..." */
    alone: string[];
    /** Negators that stand before a noun and reach only over it. */
    determiners: string[];
    shortReach: number;
    /** How many words a negator reaches. */
    reach: number;
  };
  /** Words that begin another step of the story: a mistake is not read across them. */
  breaks: string[];
  /** "no wait", "I mean" */
  repairs: string[];
  /** "used to", "the old one" */
  past: string[];
  /** Words that end what is told of the past. */
  pastEnds: string[];
  than: string;
  /** "now", "but now": end of the past. */
  now: string[];
  question: {
    auxiliaries: string[];
    /** The auxiliary that is also a plain verb, and the subjects that make a question of it. */
    bare: string;
    people: string[];
    subjects: string[];
    /** Before an auxiliary these make it a statement. */
    notAfter: string[];
    /** Before an auxiliary + subject: begin a question. */
    openers: string[];
    /** Whole phrases that ask. */
    phrases: string[];
    /** A question mark after these asks only for agreement. */
    tags: string[];
    /** Words that begin the speaker's own answer. */
    answers: string[];
  };
  /** Somebody else, whose habits are not the speaker's. */
  others: string[];
  /** Verbs by which somebody tells the speaker what to do. */
  tells: string[];
  /** "that's what my", "I told her no": rejects what somebody else does. */
  rejects: string[];
  /** Conditions that gut a rule. */
  gutters: string[];
  /** "but I do not": knows the rule and does otherwise. */
  otherwise: string[];
  /** Conditions that weaken a rule: "sometimes". */
  weakGutters: string[];
  /** "supposed to": states a rule ... */
  rules: string[];
  /** ... and "but" before the speaker's own way. */
  turns: string[];
  hedges: string[];

  /** Around a voice command these words are let pass: "please", "can you". */
  polite: string[];
  /** "if", "when": what follows is not happening now. */
  conditions: string[];
  /** Of whom else distress may be told: "husband". */
  kin: string[];
  /** "I", "call": "... I call 911" tells what one would do. */
  self: string;
  /** "I want", "I need" before a command. */
  wishes: string[];
  callWord: string;
}
