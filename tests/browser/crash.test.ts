import { afterEach, expect, test } from 'vitest';
import { en } from '../../src/app/texts/en';
import { type Kiosk, openKiosk } from './chromium';
import { attend, isSummary, look, saveSummary, startPractice, touch, until } from './visit';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

test('a crash in the third step loses nothing that was recorded, and the visit goes on at that step', async () => {
  kiosk = await openKiosk({ microphone: 'script' });
  await startPractice(kiosk.page);
  await attend(kiosk, ({ step }) => step === 'prepare', 200_000, { hurry: true });
  await touch(kiosk.page, ({ step }) => step === 'puff', 60_000);
  const third = await attend(
    kiosk,
    ({ screen, step, attempt }) => step === 'puff' && screen === 'listen' && attempt >= 1,
    60_000,
    {
      hurry: true,
    },
  );
  expect(third).toEqual([]);

  await kiosk.crash();
  await kiosk.reopen();

  const offer = await until(
    kiosk.page,
    'the offer to go on',
    ({ screen }) => screen !== '' && screen !== 'idle',
  );
  expect(offer.screen).toBe('resume');
  await kiosk.page.getByRole('button', { name: en.resumeYes }).click();
  const after = await until(
    kiosk.page,
    'the step it stopped in',
    ({ screen, step }) => screen !== 'resume' && step !== '',
  );
  expect(after.step).toBe('puff');
  await touch(kiosk.page, isSummary, 120_000);

  const { events } = await saveSummary(kiosk.page);
  expect(events.map(({ seq }) => seq)).toEqual(events.map((_, index) => index));
  const facts = events.map(({ fact }) => fact);
  expect(facts.filter(({ type }) => type === 'visit-started')).toHaveLength(1);
  expect(facts.some(({ type }) => type === 'resumed')).toBe(true);
  const modes = facts.flatMap((fact) => (fact.type === 'heard' ? [`${fact.step} ${fact.mode}`] : []));
  expect(modes).toContain('which voice');
  expect(modes).toContain('prepare touch');
  expect(modes).toContain('puff touch');
  const steps = facts.flatMap((fact) => (fact.type === 'step-finished' ? [fact.step] : []));
  expect(steps).toEqual(['which', 'prepare', 'puff', 'repeat', 'after', 'care', 'help']);
  expect(facts.findLast(({ type }) => type === 'finished')).toEqual({ type: 'finished', how: 'completed' });
});

test('an interrupted visit can be ended instead, and the kiosk is free for the next person', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  await startPractice(kiosk.page);
  await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
  await kiosk.crash();
  await kiosk.reopen();
  await until(kiosk.page, 'the offer to go on', ({ screen }) => screen === 'resume');
  await kiosk.page.getByRole('button', { name: en.resumeNo }).click();
  await until(
    kiosk.page,
    'the end',
    ({ screen }) => screen === 'summary' || screen === 'ended' || screen === 'idle',
  );
  await kiosk.page.reload();
  await kiosk.page.waitForTimeout(1_000);
  expect((await look(kiosk.page)).screen).not.toBe('resume');
});
