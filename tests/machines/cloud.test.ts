import { describe, expect, test } from 'vitest';
import type { VisitFact } from '../../src/records/types';
import { endsByTouch } from './byTouch';
import { VisitHarness, visit } from './harness';
import { start } from './lesson';

const asked = (facts: VisitFact[]) => facts.filter(({ type }) => type === 'cloud-asked');
const before: VisitFact[] = [{ type: 'visit-started', start }];

describe('an ear that sends the voice out', () => {
  test('is never asked for, and the voice said to stay here, where none is needed', async () => {
    const v = await visit().starts().untilListening();
    expect(v.world.said).toContain('welcome');
    expect(v.world.said.join()).not.toContain('cloud');
    expect(asked(v.facts)).toEqual([]);
  });

  test('is asked for first, by voice and with two buttons, and nothing listens meanwhile', async () => {
    const v = await visit({ askCloud: true })
      .starts()
      .waits(60_000)
      .presses('GO_ON')
      .presses('DONE')
      .presses('USE_VOICE')
      .presses('USE_CARDS')
      .presses('ASK')
      .sends({ type: 'TYPE', text: 'yes' })
      .waits(60_000)
      .expects('cloud');
    expect(v.world.said).toEqual(['cloudQuestion', 'cloudTouch']);
    expect(v.view).toMatchObject({ expects: 'yes-no', listening: 'off', mode: 'cards' });
    expect(v.world.requests).toEqual([]);
    expect(v.facts.map(({ type }) => type)).toEqual(['visit-started']);
  });

  test('a yes is a fact before anything is heard, and nobody says that the voice stays here', async () => {
    const v = visit({ askCloud: true }).starts().presses('YES');
    const seen = await v.waits(100);
    expect(asked(seen.facts)).toEqual([{ type: 'cloud-asked', engine: 'browser-cloud', agreed: true }]);
    expect(seen.world.stored).toEqual(seen.facts);
    expect(seen.world.requests).toEqual([]);
    const listening = await v.untilListening();
    expect(listening.world.said).toContain('welcomeCloud');
    expect(listening.world.said).not.toContain('welcome');
    expect(listening.view).toMatchObject({ screen: 'sound-check', mode: 'voice' });
  });

  test('a no means touch and typing to the end, without an ear', async () => {
    const v = new VisitHarness({ askCloud: true });
    v.actor.start();
    await v.world.settle();
    v.actor.send({ type: 'NO' });
    await v.world.pass(300);
    await endsByTouch(v);
    expect(asked(v.facts)).toEqual([{ type: 'cloud-asked', engine: 'browser-cloud', agreed: false }]);
    expect(v.world.requests).toEqual([]);
    expect(v.world.said).toContain('welcome');
    expect(v.facts.at(-1)).toEqual({ type: 'finished', how: 'completed' });
  });

  test('help and a pause come back to the question, and an end by "stop" answers nothing', async () => {
    const v = visit({ askCloud: true }).starts().presses('HELP').presses('HELP_OVER').reaches('cloud');
    await v.presses('PAUSE').presses('GO_ON').reaches('cloud');
    const ended = await v.presses('STOP').presses('STOP').reaches('ended');
    expect(asked(ended.facts)).toEqual([]);
    expect(ended.world.requests).toEqual([]);
  });

  test('again and slower say the question again', async () => {
    const v = await visit({ askCloud: true })
      .starts()
      .waits(1000)
      .forgetsWhatWasSaid()
      .presses('SLOWER')
      .waits(1000);
    expect(v.world.said).toEqual(['slowerNow', 'cloudQuestion', 'cloudTouch']);
    expect(v.view).toMatchObject({ screen: 'cloud', rate: 0.75 });
  });

  test('an interrupted visit asks before it says "shall we go on?", and once only', async () => {
    const v = await visit({ askCloud: true, past: before })
      .starts()
      .expects('cloud')
      .presses('YES')
      .reaches('resume')
      .untilListening();
    expect(asked(v.facts)).toHaveLength(1);
    const again = await visit({ askCloud: true, past: v.facts }).starts().reaches('resume').untilListening();
    expect(asked(again.facts)).toHaveLength(1);
    expect(again.view.mode).toBe('voice');
  });

  test('a no holds after an interruption', async () => {
    const past: VisitFact[] = [...before, { type: 'cloud-asked', engine: 'browser-cloud', agreed: false }];
    const v = await visit({ askCloud: true, past }).starts().reaches('resume').waits(5000);
    expect(v.view.mode).toBe('cards');
    expect(v.world.requests).toEqual([]);
  });

  test('who answers by touch is not asked before speaking is wanted, and then before anything listens', async () => {
    const v = await visit({ askCloud: true, start: { answers: 'touch' } })
      .starts()
      .reaches('sound-check')
      .presses('YES')
      .waits(1000)
      .presses('NO')
      .reaches('cards')
      .presses('USE_VOICE')
      .expects('cloud');
    expect(v.world.requests).toEqual([]);
    v.actor.send({ type: 'YES' });
    await v.world.pass(5000);
    expect(v.view).toMatchObject({ mode: 'voice', listening: 'waiting' });
  });
});
