import { afterEach, expect, test } from 'vitest';
import { type Device, openDevice } from './chromium';
import { attend, isOver, passSoundCheck, saveSummary, startPractice, touch, until } from './visit';
import { en } from './words';

let kiosk: Device;
afterEach(() => kiosk.close());

test('a crash in the third step loses nothing that was recorded, and the visit goes on at that step', async () => {
  kiosk = await openDevice({ microphone: 'script' });
  await startPractice(kiosk.page);
  await passSoundCheck(kiosk.page);
  let heardBefore = '';
  await attend(kiosk, ({ step }) => step === 'prepare', 200_000, {
    hurry: true,
    seen: ({ screen, heard }) => {
      if (screen === 'think') heardBefore ||= heard;
    },
  });
  expect(heardBefore).not.toBe('');
  // Touch stays chosen until the learner goes back to voice.
  await touch(kiosk.page, ({ screen, step }) => step === 'puff' && screen === 'cards', 60_000);
  await kiosk.page.getByRole('button', { name: en.useVoice }).click();
  await until(
    kiosk.page,
    'the open microphone',
    ({ listening, step }) => listening === 'waiting' && step === 'puff',
  );

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
  await touch(kiosk.page, isOver, 180_000);

  const summary = await saveSummary(kiosk.page);
  expect(summary.state).toBe('completed');
  expect(summary.missing).toEqual([]);
  const modes = summary.turns.map(({ step, mode }) => `${step} ${mode}`);
  expect(modes).toContain('which voice');
  expect(modes).toContain('prepare touch');
  expect(modes).toContain('puff touch');
  expect(summary.turns[0]?.heard).toBe(heardBefore);
  expect(summary.concepts.filter(({ outcome }) => outcome === 'not-asked')).toEqual([]);
});

test('an interrupted visit can be ended instead, and the kiosk is free for the next person', async () => {
  kiosk = await openDevice({ microphone: 'none' });
  await startPractice(kiosk.page);
  await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
  await kiosk.crash();
  await kiosk.reopen();
  await until(kiosk.page, 'the offer to go on', ({ screen }) => screen === 'resume');
  await kiosk.page.getByRole('button', { name: en.resumeNo }).click();
  await until(kiosk.page, 'a last chance', ({ screen }) => screen === 'paused');
  await kiosk.page.getByRole('button', { name: en.endVisit }).click();
  await until(kiosk.page, 'the end', isOver);
  expect((await saveSummary(kiosk.page)).state).toBe('stopped');
  await kiosk.page.reload();
  await until(kiosk.page, 'the idle screen', ({ screen }) => screen === 'idle');
});
