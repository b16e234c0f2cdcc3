import { describe, expect, test } from 'vitest';
import type { VisitFact, VisitStart } from '../../src/records/types';
import { type VisitOptions, visit } from './harness';
import { start } from './lesson';

const points = (...concepts: string[]): VisitStart['recheck'] => ({
  of: '00000000-0000-4000-8000-000000000002',
  at: '2026-03-02T14:00:00.000Z',
  points: concepts.map((concept) => ({ concept, before: 'needs-person' })),
  showMe: [],
});

const recheck = (concepts: string[], steps: string[], more: VisitOptions = {}) =>
  visit({ ...more, start: { steps, recheck: points(...concepts), ...more.start } });

const begun = (concepts: string[], steps: string[], more: VisitOptions = {}) =>
  recheck(concepts, steps, more).starts().hears('yes').hears('no');

describe('a re-check', () => {
  test('says what it is for, asks first, and ends without teaching when all of it stayed', async () => {
    const v = await begun(['puff.slow'], ['puff'])
      .untilListening()
      .expectsSaid(
        'welcome',
        'recheckIntro your spacer',
        'questionsFirst',
        'stepCount 1 1',
        'stepLead The puff',
        'Ask puff.slow?',
        'yourTurn',
      )
      .hears('slowly', { 'puff.slow': 'understood' })
      .reaches('summary')
      .hears('no')
      .reaches('ended')
      .expectsNotSaid('Teach puff one.', 'Question puff?', 'showMeLead', 'recheckTeachLead');
    expect(v.world.broken).toEqual([]);
    const steps = v.facts.map(({ type }) => type);
    expect(steps).not.toContain('explained');
    expect(steps).not.toContain('retaught');
    expect(v.facts.find(({ type }) => type === 'asked')).toMatchObject({
      attempt: 1,
      concepts: ['puff.slow'],
      text: 'Ask puff.slow?',
    });
  });

  test('teaches only what is missed again, and takes the blame for it', async () => {
    const v = await begun(['puff.shake', 'puff.slow'], ['puff'])
      .hears('shake it', { 'puff.shake': 'understood' })
      .reaches('respond')
      .untilListening()
      .expectsSaid('creditLead', 'recheckTeachLead', 'Again one puff.slow.', 'Ask puff.slow?')
      .expectsNotSaid('teachAgainLead', 'Again one puff.shake.', 'Teach puff one.')
      .hears('fast', {})
      .untilListening()
      .expectsSaid('teachAgainLead', 'Again two puff.slow.')
      .hears('fast again', {})
      .reaches('handover');
    expect(v.facts).toContainEqual({ type: 'handed-over', step: 'puff', concepts: ['puff.slow'] });
  });

  test('asks more than two points of a step by its open question', async () => {
    await begun(['puff.shake', 'puff.slow', 'puff.seal'], ['puff'])
      .untilListening()
      .expectsSaid('Question puff?')
      .expectsNotSaid('Ask puff.shake?');
  });

  test('takes a single point as a short answer, the open question as a long one', async () => {
    const one = await begun(['after.rinse'], ['after']).untilListening();
    expect(one.world.requests.at(-1)?.kind).toBe('short');
    const two = await begun(['puff.shake', 'puff.slow'], ['puff']).untilListening();
    expect(two.world.requests.at(-1)?.kind).toBe('answer');
  });

  test('does not explain when the question is asked for twice: what stayed would not show', async () => {
    const v = await begun(['puff.slow'], ['puff'])
      .untilListening()
      .presses('AGAIN')
      .untilListening()
      .forgetsWhatWasSaid()
      .presses('AGAIN')
      .untilListening()
      .expectsSaid('Ask puff.slow?')
      .expectsNotSaid('Teach puff one.');
    expect(v.facts.map(({ type }) => type)).not.toContain('explained');
  });

  test('watches again what the hands had not shown', async () => {
    await recheck(['puff.slow'], ['puff'], {
      start: { recheck: { ...points('puff.slow')!, showMe: ['seals'] } },
    })
      .starts()
      .hears('yes')
      .hears('no')
      .hears('slowly', { 'puff.slow': 'understood' })
      .reaches('show-me')
      .waits(2000)
      .expectsSaid('Seals the lips.')
      .expectsNotSaid('Shakes it.');
  });

  test('is gone on with after a break: what was open is asked, and still not explained', async () => {
    const past: VisitFact[] = [
      { type: 'visit-started', start: { ...start, steps: ['puff'], recheck: points('puff.slow') } },
      { type: 'sound-checked', ok: true, detail: '' },
      { type: 'step-started', step: 'puff' },
    ];
    await recheck(['puff.slow'], ['puff'], { past })
      .starts()
      .hears('yes')
      .untilListening()
      .expectsSaid('Ask puff.slow?')
      .expectsNotSaid('Teach puff one.', 'recheckIntro your spacer');
  });

  test('goes by cards as well', async () => {
    const v = await recheck(['puff.slow'], ['puff'], { start: { answers: 'touch' } })
      .starts()
      .waits(1000)
      .presses('YES')
      .waits(1000)
      .presses('NO')
      .reaches('cards')
      .waits(2000)
      .expectsSaid('Ask puff.slow?')
      .expectsNotSaid('Teach puff one.')
      .taps({ concept: 'puff.slow', text: 'Slowly.' })
      .reaches('summary');
    expect(v.facts.map(({ type }) => type)).not.toContain('explained');
  });
});

test('any other visit explains first, and asks its open question', async () => {
  await visit()
    .starts()
    .hears('yes')
    .hears('no')
    .untilListening()
    .expectsSaid('Teach puff one.', 'Question puff?')
    .expectsNotSaid('recheckIntro your spacer');
});
