import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { moduleSchema, teachingSchema, visitSlots } from '../../phrasebanks/schema';
import inventory from '../corpora/concepts.json';
import { count, grade, sentences, words } from './readability';

const root = new URL('../../', import.meta.url);
const read = (path: string) => JSON.parse(readFileSync(new URL(path, root), 'utf8'));

/** The longest a step may sound, at 150 words a minute. */
const longestStep = 35;
const slots: readonly string[] = visitSlots;
const filled = (text: string) =>
  text
    .replaceAll('{medicine}', 'inhaler')
    .replaceAll('{timesADay}', 'two')
    .replaceAll('{careTeam}', 'your nurse')
    .replaceAll(/\{(callNumber|emergencyNumber)\}/g, 'this number');

/** All texts in a file, without its ids. */
const texts = (value: unknown): string[] =>
  typeof value === 'string' ? [value] : Object.values(value ?? {}).flatMap(texts);

// A folder becomes a module with its module.json; before that, nothing of it can be taught.
const modules = readdirSync(new URL('phrasebanks/', root)).filter((name) =>
  existsSync(new URL(`phrasebanks/${name}/module.json`, root)),
);

it('finds the modules', () => expect(modules).toContain('inhaler-spacer'));

describe.each(modules)('the module %s', (name) => {
  const module = moduleSchema.parse(read(`phrasebanks/${name}/module.json`));
  const expected = inventory.modules.find((one) => one.id === name)!;

  it('lives in the folder of its name', () => expect(module.id).toBe(name));

  it('has the steps and concepts of the inventory, in order, with their weights', () => {
    const shape = (steps: { id: string; concepts: { id: string; weight: string }[] }[]) =>
      steps.map((step) => [step.id, step.concepts.map(({ id, weight }) => [id, weight])]);
    expect(shape(module.steps)).toEqual(shape(expected.steps));
  });

  it('has the quantities of the inventory', () => {
    const listed = (steps: { concepts: { id: string; quantity?: unknown; quantities?: unknown }[] }[]) =>
      steps
        .flatMap((step) => step.concepts)
        .flatMap((one) => (one.quantity || one.quantities ? [one] : []))
        .map((one) => [one.id, one.quantities ?? split(one.quantity)]);
    // The inventory hangs a second quantity on the first one as "also".
    const split = (quantity: unknown) => {
      const { also, ...first } = quantity as { also?: unknown };
      return also ? [first, also] : [first];
    };
    expect(listed(module.steps)).toEqual(listed(expected.steps as never));
  });

  it('has a picture for each step', () => {
    for (const step of module.steps)
      expect(existsSync(new URL(`public/pictures/${step.picture}`, root)), step.picture).toBe(true);
  });

  it('names its sources', () => expect(module.sources.length).toBeGreaterThan(0));

  const languages = readdirSync(new URL(`phrasebanks/${name}/`, root)).flatMap(
    (file) => file.match(/^(.+)\.teaching\.json$/)?.[1] ?? [],
  );
  describe.each(languages)('taught in %s', (language) => {
    const teaching = teachingSchema.parse(read(`phrasebanks/${name}/${language}.teaching.json`));
    const steps = Object.entries(teaching.steps);
    const concepts = Object.entries(teaching.concepts);

    it('says what it is', () => expect([teaching.module, teaching.language]).toEqual([name, language]));

    it('teaches exactly the steps, concepts and points of the module', () => {
      expect(Object.keys(teaching.steps)).toEqual(module.steps.map((step) => step.id));
      expect(Object.keys(teaching.concepts)).toEqual(
        module.steps.flatMap((step) => step.concepts.map((concept) => concept.id)),
      );
      expect(Object.keys(teaching.showMe)).toEqual(module.showMe);
    });

    it('uses only slots that a visit can fill', () => {
      const used = [...JSON.stringify(teaching).matchAll(/\{(\w+)\}/g)].map((match) => match[1]!);
      expect(used.filter((slot) => !slots.includes(slot))).toEqual([]);
    });

    it('says one sentence a caption', () => {
      const captions = [
        ...steps.flatMap(([, step]) => [...step.teach, ...step.simplest]),
        ...concepts.flatMap(([, one]) => [...one.again.flat(), ...Object.values(one.correct ?? {})]),
        ...teaching.answers.flatMap((answer) => answer.says),
      ];
      expect(captions.filter((caption) => sentences(caption).length !== 1)).toEqual([]);
    });

    it('asks open questions', () => {
      const questions = [
        ...steps.map(([, step]) => sentences(step.question).at(-1)!),
        ...concepts.flatMap(([, one]) => [one.ask, ...Object.values(one.askPart ?? {})]),
      ];
      expect(questions.filter((question) => !question.endsWith('?'))).toEqual([]);
      if (language !== 'en') return;
      const open = /\b(what|how|when|where|why|which|who)\b/i;
      const closed = /^(do|does|did|is|are|can|could|will|would|should|have|has)\b/i;
      expect(questions.filter((question) => !open.test(question) || closed.test(question))).toEqual([]);
    });

    it('teaches a concept again in two ways that share few words', () => {
      // What every sentence is about cannot be said in other words.
      const subject = new Set(
        words(`${teaching.title} ${teaching.device} inhalers medicine puffs`.toLowerCase()),
      );
      const key = (text: string[]) =>
        new Set(words(text.join(' ').toLowerCase()).filter((word) => word.length > 4 && !subject.has(word)));
      for (const [id, one] of concepts) {
        const [first, second] = [key(one.again[0]), key(one.again[1])];
        const shared = [...first].filter((word) => second.has(word)).length;
        expect(shared / Math.min(first.size, second.size), id).toBeLessThanOrEqual(0.5);
      }
    });

    it('never blames the learner', () => {
      const blame = /\b(wrong|incorrect|mistake|you failed|you forgot to)\b/i;
      expect(texts(teaching).filter((text) => blame.test(text))).toEqual([]);
    });

    it('stays short: sentences of at most 16 words, steps of at most 35 seconds', () => {
      const said = [
        ...steps.flatMap(([, step]) => [...step.teach, ...step.simplest, ...sentences(step.question)]),
        ...concepts.flatMap(([, one]) => [
          ...one.again.flat(),
          one.ask,
          ...Object.values(one.askPart ?? {}),
          ...Object.values(one.correct ?? {}).flatMap(sentences),
        ]),
        ...teaching.answers.flatMap((answer) => answer.says),
        ...teaching.handout.care,
        ...teaching.handout.whenToCall,
      ];
      expect(said.filter((sentence) => words(filled(sentence)).length > 16)).toEqual([]);
      for (const [id, step] of steps)
        expect((words(filled(step.teach.join(' '))).length / 150) * 60, id).toBeLessThanOrEqual(longestStep);
    });

    it('tells a step again with fewer words when it is told simply', () => {
      for (const [id, step] of steps)
        expect(words(step.simplest.join(' ')).length, id).toBeLessThan(words(step.teach.join(' ')).length);
    });

    // The formula is made for English; Spanish and French have their own (see their own tests).
    it.runIf(language === 'en')('reads at 6th grade or below, step by step', () => {
      const read: [string, string[]][] = [
        ...steps.flatMap(([id, step]): [string, string[]][] => [
          [id, step.teach],
          [`${id} simplest`, step.simplest],
          [`${id} question`, [step.question]],
        ]),
        ...concepts.flatMap(([id, one]): [string, string[]][] => [
          [`${id} again 1`, one.again[0]],
          [`${id} again 2`, one.again[1]],
        ]),
        ...teaching.answers.map((answer): [string, string[]] => [answer.id, answer.says]),
        ['all questions about one part', concepts.flatMap(([, one]) => Object.values(one.askPart ?? {}))],
        ['all corrections', concepts.flatMap(([, one]) => Object.values(one.correct ?? {}))],
        ['handout', [...teaching.handout.care, ...teaching.handout.whenToCall]],
      ];
      const hard = read
        .map(([id, text]) => [id, Number(grade(count(filled(text.join(' ')))).toFixed(1))] as const)
        .filter(([, value]) => value > 6);
      expect(hard).toEqual([]);
    });

    const judgingPath = new URL(`phrasebanks/${name}/${language}.judging.json`, root);
    it.runIf(existsSync(judgingPath))('has a question for each part and a kind word for each slip', () => {
      const judging = JSON.parse(readFileSync(judgingPath, 'utf8')) as {
        concepts: Record<string, { parts?: { id: string }[]; contradictions?: { id: string }[] }>;
      };
      for (const [id, one] of concepts) {
        const judged = judging.concepts[id];
        const parts = (judged?.parts ?? []).map((part) => part.id);
        const slips = (judged?.contradictions ?? []).map((slip) => slip.id);
        expect(Object.keys(one.askPart ?? {}).sort(), `${id} askPart`).toEqual(parts.sort());
        expect(Object.keys(one.correct ?? {}).sort(), `${id} correct`).toEqual(slips.sort());
      }
    });
  });
});
