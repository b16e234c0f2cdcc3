import type { CommonFile, ModuleFile, Paper, TeachingFile } from '../../phrasebanks/schema';
import type { ConceptRecord, VisitRecord } from './derive';
import { fill, oneLine } from './plain';
import { stillOpen } from './reviewed';

/** What the handout holds. The app draws and prints it; every string is text, never markup. */
export interface Handout {
  language: string;
  title: string;
  device: string;
  practice: boolean;
  /** Empty when the log lost it. */
  learner: string;
  /** Start of the visit, ISO 8601 UTC; null: unknown. The app writes it in the learner's way. */
  date: string | null;
  /** Missed concepts, gravest first, each in the words of its first re-teaching. */
  practiseFirst: {
    concept: string;
    label: string;
    /** 'needs-person': a person goes over it; 'after-reteach': said in the end, worth another look. */
    outcome: 'needs-person' | 'after-reteach';
    sentences: string[];
  }[];
  steps: {
    step: string;
    title: string;
    /** File under public/pictures/; empty: none. */
    picture: string;
    pictureText: string;
    sentences: string[];
    /** Something of this step is in practiseFirst. */
    stressed: boolean;
  }[];
  care: string[];
  whenToCall: { sentences: string[]; callNumber: string; emergencyNumber: string; careTeam: string };
  /** Questions that were kept for the care team and have no answer yet. */
  questions: string[];
  cautions: string[];
  /** Headings and small words. */
  words: Paper;
  /** True: no one of the trade has reviewed these texts. */
  unreviewed: boolean;
}

/** Sentences of a reminder: all that was missed has to fit on the front, before the steps. */
const longestReminder = 3;

/** The handout of a visit in the language of the teaching texts. */
export function handoutOf(
  record: VisitRecord,
  { module, teaching, common }: { module: ModuleFile; teaching: TeachingFile; common: CommonFile },
): Handout {
  const words = common.paper;
  const { start } = record;
  const filled = (sentences: readonly string[]) => sentences.map((sentence) => fill(sentence, start));
  const practiseFirst = record.concepts.flatMap((concept) => {
    const { outcome, label } = concept;
    if (outcome !== 'needs-person' && outcome !== 'after-reteach') return [];
    const sentences = filled(againFor(concept, teaching).slice(0, longestReminder));
    return [{ concept: concept.concept, label, outcome, sentences }];
  });
  const stressed = new Set(
    record.concepts
      .filter(({ outcome }) => outcome === 'needs-person' || outcome === 'after-reteach')
      .map(({ step }) => step),
  );
  return {
    language: teaching.language,
    title: fill(teaching.title, start),
    device: fill(teaching.device, start),
    practice: start?.practice ?? false,
    learner: oneLine(start?.learner.name ?? ''),
    date: record.startedAt,
    practiseFirst,
    steps: record.steps.flatMap(({ step, title }) => {
      const text = Object.hasOwn(teaching.steps, step) ? teaching.steps[step] : undefined;
      if (!text) return [];
      return [
        {
          step,
          title,
          picture: module.steps.find(({ id }) => id === step)?.picture ?? '',
          pictureText: fill(text.pictureText, start),
          sentences: filled(text.simplest),
          stressed: stressed.has(step),
        },
      ];
    }),
    care: filled(teaching.handout.care),
    whenToCall: {
      sentences: filled(teaching.handout.whenToCall),
      callNumber: oneLine(start?.particulars.callNumber ?? ''),
      emergencyNumber: oneLine(start?.particulars.emergencyNumber ?? ''),
      careTeam: oneLine(start?.particulars.careTeam ?? ''),
    },
    questions: record.questions.filter(stillOpen).map(({ text }) => oneLine(text)),
    cautions: filled(words.cautions),
    words,
    unreviewed: teaching.reviewedBy === null,
  };
}

/** What puts a contradiction right comes before the general words. */
function againFor(concept: ConceptRecord, teaching: TeachingFile): string[] {
  const text = Object.hasOwn(teaching.concepts, concept.concept)
    ? teaching.concepts[concept.concept]
    : undefined;
  if (!text) return [];
  const correct = concept.misconceptions.flatMap((id) =>
    text.correct && Object.hasOwn(text.correct, id) ? (text.correct[id] ?? []) : [],
  );
  return [...correct, ...text.again[0]];
}
