import { expect, test } from 'vitest';
import type { VisitStart } from '../../src/records/types';
import { visit } from './harness';
import { start } from './lesson';

const sitting = (follows: boolean): NonNullable<VisitStart['sitting']> => ({
  id: start.visit,
  index: follows ? 1 : 0,
  follows,
  toCome: [],
});

test('the next lesson of a sitting begins with a bridge, not with a greeting and a sound check', async () => {
  const v = await visit({ start: { sitting: sitting(true) } })
    .starts()
    .untilListening()
    .expectsSaid('sittingNow your spacer', 'questionsFirst')
    .expectsNotSaid('welcome', 'soundCheck')
    .hears('no')
    .reaches('explain');
  expect(v.facts[0]?.type).toBe('visit-started');
});

test('a lesson that is begun later is greeted and sound-checked like any visit', async () => {
  await visit({ start: { sitting: sitting(false) } })
    .starts()
    .untilListening()
    .expectsSaid('welcome', 'soundCheck')
    .hears('yes')
    .untilListening()
    .expectsSaid('questionsFirst')
    .expectsNotSaid('sittingNow your spacer');
});

test('the next lesson speaks as the one before ended', async () => {
  const v = await visit({ start: { sitting: sitting(true) }, voice: { rate: 0.75, volume: 1 } })
    .starts()
    .waits(500);
  expect(v.world.speaks[0]).toMatchObject({ rate: 0.75, volume: 1 });
});

const all = { 'puff.shake': 'understood', 'puff.seal': 'understood', 'puff.slow': 'understood' } as const;

test('a lesson with another one to come ends with a rest and what comes next', async () => {
  await visit({ start: { sitting: sitting(true), steps: ['puff'] }, next: 'your oxygen at home' })
    .starts()
    .hears('no')
    .hears('all of it', all)
    .reaches('show-me')
    .presses('GO_ON')
    .hears('no')
    .reaches('ended')
    .waits(1000)
    .expectsSaid('thanks', 'sittingNext your oxygen at home', 'sittingRest')
    .expectsNotSaid('finished');
});

test('a lesson that is stopped does not push the next one', async () => {
  await visit({ start: { sitting: sitting(true) }, next: 'your oxygen at home' })
    .starts()
    .presses('STOP')
    .presses('STOP')
    .reaches('ended')
    .waits(1000)
    .expectsSaid('stopped')
    .expectsNotSaid('sittingNext your oxygen at home', 'finished');
});
