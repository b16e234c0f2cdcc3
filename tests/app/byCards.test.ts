import { setImmediate as macrotask } from 'node:timers/promises';
import { describe, expect, test } from 'vitest';
import { createActor, SimulatedClock } from 'xstate';
import { makeVisit, type VisitView, viewOf } from '../../machines';
import type { Lesson } from '../../machines/types';
import { readCommon } from '../../phrasebanks/read';
import { type FullLesson, loadLesson, offered } from '../../src/app/lessons';
import { practiceStart } from '../../src/app/practice';
import { cardSeed, servicesOf } from '../../src/app/services/services';
import { readSite } from '../../src/app/site';
import { derive } from '../../src/records/derive';
import { chartNote } from '../../src/records/note';
import type { VisitFact, VisitStart } from '../../src/records/types';
import { type Card, cardsFor, orderAmong } from '../../src/scoring';
import { nextTouch } from '../machines/byTouch';

/*
 * Every module in every language can be gone through by touch alone, with the real judge of cards: whoever does not
 * speak is taught, judged and taught again as everybody else, and the record says how the answers were given.
 */

const { site } = readSite('{}');
const at = '2026-03-02T14:05:00.000Z';

const startOf = (lesson: Pick<Lesson, 'module' | 'common'>): VisitStart => ({
  ...practiceStart(site, lesson),
  visit: '00000000-0000-4000-8000-000000000001',
  prefers: 'looking',
  barriers: ['breath'],
  answers: 'touch',
});

const isRight = (card: Card) => card.contradiction === undefined;

/** Right cards in the order in which the module does things. */
const rightOnes = (cards: Card[], view: VisitView) =>
  view.asked.flatMap((concept) => cards.filter((card) => card.concept === concept && isRight(card)));

/** Goes through the whole visit; `choose` picks from the cards that the screen offers. */
async function goesThrough(lesson: FullLesson, choose: (cards: Card[], view: VisitView) => Card[]) {
  const clock = new SimulatedClock();
  const facts: VisitFact[] = [];
  let ears = 0;
  const services = servicesOf({
    lesson: () => lesson,
    ear: async () => {
      ears++;
      return { hearing: null, why: 'nothing may listen here', reason: 'denied' };
    },
    earFailed: () => {},
    hush: () => {},
    voice: {
      id: 'embedded',
      available: async () => true,
      speak: async () => ({ voice: 'embedded', reason: 'finished' }),
    },
    store: async (stored) => facts.push(...stored),
    callStaff: () => {},
  });
  services.playEarcon = () => {};
  const visit = createActor(makeVisit(services), {
    input: { start: startOf(lesson), lesson, timings: site.timings, past: [] },
    clock,
  }).start();
  const settle = async () => {
    for (let i = 0; i < 4; i++) await macrotask();
  };
  await settle();
  for (let i = 0; i < 400; i++) {
    const view = viewOf(visit.getSnapshot());
    if (view.screen === 'ended') break;
    const touch = nextTouch(view);
    if (view.screen === 'cards') {
      const { asked } = view;
      visit.send({ type: 'CARDS', chosen: choose(cardsFor(lesson.judging, asked, cardSeed(asked)), view) });
    } else if (touch) visit.send(touch);
    await settle();
    clock.increment(500);
    await settle();
  }
  const events = facts.map((fact, seq) => ({ visit: startOf(lesson).visit, seq, at, fact }));
  return { screen: viewOf(visit.getSnapshot()).screen, facts, ears, record: derive(events, lesson) };
}

describe.each(offered())('$module in $language, by touch alone', ({ module, language }) => {
  test('is understood in full by who touches the right cards, and no ear is opened', async () => {
    const lesson = await loadLesson(module, language);
    const { screen, ears, record, facts } = await goesThrough(lesson, rightOnes);
    expect(screen).toBe('ended');
    expect(facts.at(-1)).toEqual({ type: 'finished', how: 'completed' });
    expect(ears).toBe(0);
    const must = lesson.module.steps.flatMap((step) => step.concepts.filter((c) => c.weight !== 'helpful'));
    const outcomes = new Map(record.concepts.map((concept) => [concept.concept, concept]));
    expect(must.filter(({ id }) => outcomes.get(id)?.triesUntilUnderstood !== 1)).toEqual([]);
    expect(record.concepts.flatMap((concept) => concept.answers.filter((a) => a.finding.order))).toEqual([]);
    const answers = facts.filter((fact) => fact.type === 'heard');
    expect(answers).toHaveLength(lesson.module.steps.length);
    expect(new Set(answers.map(({ mode }) => mode))).toEqual(new Set(['touch']));
    const note = chartNote(record, lesson.teaching, { timeZone: 'UTC' });
    expect(note).toContain(`Answers: ${answers.length} by touching cards, which is not in own words\n`);
    expect(note).not.toMatch(/in the learner's own words|voice kiosk|written down by a machine/);
    expect(note).toContain('Answers by touch or typing');
  });

  test('teaches again what a wrong card shows, then takes the right one', async () => {
    const lesson = await loadLesson(module, language);
    const { screen, facts, record } = await goesThrough(lesson, (cards, view) =>
      view.attempt === 1
        ? view.asked.flatMap(
            (concept) => cards.find((card) => card.concept === concept && !isRight(card)) ?? [],
          )
        : rightOnes(cards, view),
    );
    expect(screen).toBe('ended');
    const taughtAgain = new Set(facts.flatMap((fact) => (fact.type === 'retaught' ? [fact.step] : [])));
    expect([...taughtAgain]).toEqual(lesson.module.steps.map(({ id }) => id));
    const open = record.concepts.filter((c) => c.outcome === 'needs-person' && c.weight !== 'helpful');
    expect(open.map(({ concept }) => concept)).toEqual([]);
    expect(facts.filter((fact) => fact.type === 'handed-over')).toEqual([]);
  });

  test('says so when cards are touched in the order that does not work', async () => {
    const lesson = await loadLesson(module, language);
    const { record } = await goesThrough(lesson, (cards, view) => rightOnes(cards, view).toReversed());
    const rules = lesson.module.steps.flatMap((step) =>
      orderAmong(
        lesson.judging,
        step.concepts.map(({ id }) => id),
      ),
    );
    const told = record.concepts.flatMap((concept) =>
      concept.answers.flatMap(({ finding }) => finding.order?.id ?? []),
    );
    expect(new Set(told).size).toBe(new Set(rules.map(({ next }) => next)).size);
    for (const id of told) expect(rules.map((rule) => rule.id)).toContain(id);
  });
});

test('all languages that have screens have a word for cards in order', () => {
  for (const language of new Set(offered().map((offer) => offer.language)))
    expect(readCommon(language).screens.cardsOrder).not.toBe(readCommon(language).screens.cardsLead);
});
