import { expect, test } from 'vitest';
import { goByEar, startByEar } from './by-ear';
import { openKiosk } from './chromium';
import { darken, listenIn } from './dark';
import { review } from './review';
import { look, saveSummary } from './visit';

/*
 * A whole visit in audio-only mode with the screen covered: sound in, sound out, and one key. The voice speaks at a
 * small part of its time; the learner and the ear keep theirs. `npm run rehearse:by-ear` is the same at the pace of people.
 */
test('a whole visit is gone through by ear, with the screen covered and one key', async () => {
  const kiosk = await openKiosk({ microphone: 'script', size: { width: 1280, height: 800 } });
  const told: string[] = [];
  const began = Date.now();
  try {
    await listenIn(kiosk, 24);
    await startByEar(kiosk);
    const dark = await darken(kiosk);
    expect(() => look(kiosk.page)).toThrow('the screen is covered');
    const { turns, keys, over, last, loudest } = await goByEar(dark, {
      turn: 0.8,
      hurry: true,
      limit: 8,
      tell: (who, text) => told.push(`${Math.round((Date.now() - began) / 1000)} s  ${who}: ${text}`),
    });
    expect(over, `the visit stood still; last was said: ${last}`).toBe(true);
    expect(loudest).toBeGreaterThan(-55);
    expect(keys).toBeGreaterThan(0);
    const summary = await saveSummary(await dark.lift());
    expect(summary.start?.audioOnly).toBe(true);
    expect(review(summary, turns, { byEar: true, tell: (line) => told.push(line) })).toEqual([]);
    expect(kiosk.errors).toEqual([]);
  } catch (error) {
    console.log(told.join('\n'));
    throw error;
  } finally {
    await kiosk.close();
  }
  console.log(`gone through by ear in ${Math.round((Date.now() - began) / 1000)} s`);
}, 540_000);
