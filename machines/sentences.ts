import { type PromptKey, promptKeys, promptSlots } from './prompts';
import { fill, pointOf, prompt, type Words } from './script';
import type { Lesson } from './types';

/** Where a sentence belongs: around every lesson, in a step, or in another part of the module. */
export type SentenceGroup =
  | { kind: 'around' }
  | { kind: 'step'; title: string }
  | { kind: 'answers' }
  | { kind: 'show-me' }
  | { kind: 'end' };

export type SentenceRole =
  | 'prompt'
  | 'lead'
  | 'teach'
  | 'question'
  | 'again'
  | 'ask'
  | 'correct'
  | 'simplest'
  | 'name'
  | 'answer'
  | 'point'
  | 'when-to-call';

/** A sentence that is the same in every visit with the same words for its slots. */
export interface SayableSentence {
  /** Its place in the phrasebanks. Stays when the text is changed. */
  place: string;
  group: SentenceGroup;
  role: SentenceRole;
  /** With its slots filled. */
  text: string;
  /** Slots that a visit may fill otherwise: then it is another sentence. */
  slots: string[];
}

/** Prompts that stand on the screen and are never said. */
const shownOnly: readonly PromptKey[] = ['takeYourTime', 'thinking', 'notSaved', 'screenHidden', 'parked'];

/** Repeats what the learner said, or names what nobody knows beforehand. */
const everNew = (key: PromptKey): boolean => promptSlots[key].length > 0;

/**
 * All that the kiosk may say in a visit of this lesson, each text once, in the order of a visit; without what is
 * made up of the learner's words. With `common` alone: what it says around every lesson.
 */
export function sentencesOf(
  lesson: Pick<Lesson, 'common'> & Partial<Pick<Lesson, 'module' | 'teaching'>>,
  particulars: Words['start']['particulars'],
): SayableSentence[] {
  const { common, module, teaching } = lesson;
  const found = new Map<string, SayableSentence>();
  const add = (place: string, group: SentenceGroup, role: SentenceRole, texts: readonly string[]) => {
    texts.forEach((raw, index) => {
      const text = fill(raw, particulars);
      const slots = [...raw.matchAll(/\{(\w+)\}/g)].map(([, slot]) => slot!);
      if (!found.has(text)) {
        const at = texts.length > 1 ? `${place}/${index + 1}` : place;
        found.set(text, { place: at, group, role, text, slots: [...new Set(slots)] });
      }
    });
  };

  const around: SentenceGroup = { kind: 'around' };
  for (const key of promptKeys) {
    const text = common.prompts[key];
    if (text === undefined || shownOnly.includes(key) || everNew(key)) continue;
    add(`common/${key}`, around, 'prompt', [text]);
  }
  if (!module || !teaching) return [...found.values()];

  const home = module.id;
  for (const [index, { id, concepts }] of module.steps.entries()) {
    const step = teaching.steps[id];
    if (!step) continue;
    const group: SentenceGroup = { kind: 'step', title: fill(step.title, particulars) };
    const at = `${home}/${id}`;
    // As a visit of the whole module counts.
    const count = { index: String(index + 1), count: String(module.steps.length) };
    add(`${at}/count`, group, 'lead', prompt(bare(lesson), 'stepCount', count));
    add(`${at}/lead`, group, 'lead', prompt(bare(lesson), 'stepLead', { title: step.title }));
    add(`${at}/teach`, group, 'teach', step.teach);
    add(`${at}/question`, group, 'question', [step.question]);
    for (const { id: concept } of concepts) {
      const text = teaching.concepts[concept];
      if (!text) continue;
      for (const [belief, says] of Object.entries(text.correct ?? {}))
        add(`${home}/${concept}/correct/${belief}`, group, 'correct', [says]);
      text.again.forEach((says, way) => {
        add(`${home}/${concept}/again-${way + 1}`, group, 'again', says);
      });
      add(`${home}/${concept}/ask`, group, 'ask', [text.ask]);
      for (const [part, says] of Object.entries(text.askPart ?? {}))
        add(`${home}/${concept}/ask/${part}`, group, 'ask', [says]);
      add(`${home}/${concept}/name`, group, 'name', [pointOf(text.label)]);
    }
    add(`${at}/simplest`, group, 'simplest', step.simplest);
  }
  for (const { id, says } of teaching.answers)
    add(`${home}/answer/${id}`, { kind: 'answers' }, 'answer', says);
  for (const point of module.showMe) {
    const says = teaching.showMe[point];
    if (says !== undefined) add(`${home}/show-me/${point}`, { kind: 'show-me' }, 'point', [says]);
  }
  add(`${home}/when-to-call`, { kind: 'end' }, 'when-to-call', teaching.handout.whenToCall);
  return [...found.values()];
}

/** Words that fill only the slots of a prompt itself. */
const bare = (lesson: Pick<Lesson, 'common'>): Words =>
  ({ lesson, start: { particulars: {} } }) as unknown as Words;
