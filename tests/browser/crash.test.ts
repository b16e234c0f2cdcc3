import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { headers } from '../../src/commands/serve.mjs';
import { type Device, openDevice, whileOpen } from './chromium';
import { tear } from './tear';
import {
  attend,
  differs,
  isOver,
  look,
  passSoundCheck,
  saveSummary,
  startPractice,
  touch,
  until,
} from './visit';
import { en } from './words';

/* In their order, in one visit: what is said, what leaves the device meanwhile, and a crash. */
describe('a visit by voice, on a device of its own', () => {
  let kiosk: Device;
  /** That the page came with. */
  let policy: string | undefined;
  beforeAll(async () => {
    kiosk = await openDevice({
      microphone: 'script',
      beforehand: async (page) =>
        page.on('response', (answer) => {
          if (answer.request().isNavigationRequest()) policy = answer.headers()['content-security-policy'];
        }),
    });
  });
  afterAll(() => kiosk?.close());

  /** What was taken down of the first answer. */
  let heardBefore = '';

  test('a spoken answer is heard through the microphone, judged, and the visit goes on', async () => {
    await startPractice(kiosk.page);
    await passSoundCheck(kiosk.page);
    const heard: string[] = [];
    const turns = await attend(kiosk, ({ step }) => step === 'prepare', 200_000, {
      hurry: true,
      seen: ({ heard: text, screen }) => {
        if (screen === 'think') heardBefore ||= text;
        if ((screen === 'think' || screen === 'confirm') && text) heard.push(text);
      },
    });
    const answers = turns.filter((turn) => turn.asked.length > 0);
    expect(answers.length).toBeGreaterThan(0);
    for (const turn of answers) {
      expect(turn.peak, 'loudness at the microphone, dBFS').toBeGreaterThan(-40);
      expect(turn.streams, 'streams that the kiosk had open').toBeGreaterThan(0);
    }
    const nearest = Math.min(...heard.map((text) => differs(answers[0]!.text, text)));
    expect(nearest, `heard: ${heard.join(' | ')}`).toBeLessThan(0.6);
    expect((await look(kiosk.page)).ear).toBe('embedded');
  });

  test('with voice, microphone and ear loaded, nothing outside was asked for, and the policy was never hit', async () => {
    expect(policy).toBe(headers['Content-Security-Policy']);
    expect(kiosk.outside).toEqual([]);
    expect(kiosk.errors).toEqual([]);
    const answers = await kiosk.page.evaluate(() =>
      performance.getEntriesByType('resource').map((entry) => new URL(entry.name).origin),
    );
    expect(new Set(answers)).toEqual(new Set([kiosk.address]));
  });

  test('a crash in the third step loses nothing that was recorded, and the visit goes on at that step', async () => {
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
});

test('a torn write costs no visit, and an interrupted one can be ended instead: the kiosk is free for the next person', async () => {
  await whileOpen(openDevice({ microphone: 'none' }), async (kiosk) => {
    await startPractice(kiosk.page);
    await touch(kiosk.page, ({ step }) => step === 'prepare', 60_000);
    await kiosk.crash();
    tear(kiosk.profileDir, 'visits', 100);
    await kiosk.reopen();
    await until(kiosk.page, 'the offer to go on', ({ screen }) => screen === 'resume');
    // Behind the tear. At the start after this Chromium throws the database away.
    await kiosk.page.getByRole('button', { name: en.resumeYes }).click();
    await touch(kiosk.page, ({ step }) => step === 'puff', 60_000);
    await kiosk.crash();
    await kiosk.reopen();
    await until(kiosk.page, 'the offer to go on', ({ screen }) => screen === 'resume');
    await kiosk.page.getByRole('button', { name: en.resumeNo }).click();
    await until(kiosk.page, 'a last chance', ({ screen }) => screen === 'paused');
    await kiosk.page.getByRole('button', { name: en.endVisit }).click();
    await until(kiosk.page, 'the end', isOver);
    const summary = await saveSummary(kiosk.page);
    expect(summary.state).toBe('stopped');
    expect(summary.turns.map(({ step }) => step)).toContain('prepare');
    await kiosk.page.getByRole('button', { name: en.close }).click();
    await until(kiosk.page, 'the idle screen', ({ screen }) => screen === 'idle');
    expect(await kiosk.page.getByText('1 visit was lost by the browser and put back').count()).toBe(1);
    await kiosk.page.reload();
    await until(kiosk.page, 'the idle screen', ({ screen }) => screen === 'idle');
  });
});
