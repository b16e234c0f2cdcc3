import { afterEach, expect, test } from 'vitest';
import { type Kiosk, openKiosk } from './chromium';
import { attend, differs, look, passSoundCheck, startPractice } from './visit';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

test('a spoken answer is heard through the microphone, judged, and the visit goes on', async () => {
  kiosk = await openKiosk({ microphone: 'script' });
  await startPractice(kiosk.page);
  await passSoundCheck(kiosk.page);
  const heard: string[] = [];
  const turns = await attend(kiosk, ({ step }) => step === 'prepare', 200_000, {
    hurry: true,
    seen: ({ heard: text, screen }) => {
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
  expect(kiosk.errors).toEqual([]);
});
