import { readCommon } from '../../phrasebanks/read';
import { blindLearner, listen, overheard } from '../../tests/browser/by-ear';
import { openKiosk } from '../../tests/browser/chromium';
import { until } from '../../tests/browser/visit';
import { build } from './prepare.mjs';

/*
 * npm run rehearse:by-ear: a whole visit in audio-only mode with the screen out of sight (a quarter of an hour). The
 * learner knows nothing but what the voice says and when it is silent, answers aloud, and has one key, the space bar.
 * One point is forgotten at first, so it has to be taught again. Exit status 1 when the visit does not get to its end.
 */

/** Seconds of silence after which it is one's turn; and after which nobody will say anything any more. */
const turn = 1.8;
const stuck = 60;
/** A voice is louder than this, dBFS. */
const audible = -55;

if (!build()) process.exit(1);
const { screens } = readCommon('en');
const kiosk = await openKiosk({ microphone: 'script', size: { width: 1280, height: 800 } });
const { page } = kiosk;
await listen(kiosk);

// The clinician's part: she sees the screen.
await until(page, 'the idle screen', ({ screen }) => screen === 'idle');
await page.getByRole('button', { name: screens.newVisit }).click();
await page.waitForSelector('[data-screen=start]');
for (const select of await page.locator('select').all()) {
  const options = await select.locator('option').allTextContents();
  const index = options.findIndex((option) => option.includes('Inhaler with a spacer'));
  if (index >= 0) await select.selectOption({ index });
}
await page.locator('[name=name]').fill('Practice learner');
await page.locator('[name=bed]').fill('12');
await page.locator('[name=staff]').fill('Practice');
await page.locator('[name=audioOnly]').check();
await page
  .getByRole('button', { name: /^Start/ })
  .last()
  .click();

const learner = blindLearner('inhaler-spacer', 'inhaler-spacer.puff.hold');
const began = Date.now();
const tell = (who: string, text: string) =>
  console.log(`${String(Math.round((Date.now() - began) / 1000)).padStart(4)} s  ${who}: ${text}`);
let lines: string[] = [];
let quietSince = Date.now();
let answered = 0;
let keys = 0;
let loudest = -120;
let over = false;
while (!over && Date.now() - quietSince < stuck * 1000 && Date.now() - began < 25 * 60_000) {
  await page.waitForTimeout(150);
  const { said, level } = await overheard(kiosk);
  for (const line of said) tell('kiosk', line);
  lines.push(...said);
  loudest = Math.max(loudest, level);
  if (level > audible || said.length > 0) quietSince = Date.now();
  over = learner.isOver(lines);
  if (over || lines.length === 0 || Date.now() - quietSince < turn * 1000) continue;
  const answer = learner.answer(lines);
  if (answer === null) continue;
  lines = [];
  if (answer === 'key') {
    keys++;
    tell('learner', '(presses the space bar)');
    await page.keyboard.press('Space');
  } else {
    answered++;
    tell('learner', answer);
    const { streams } = await kiosk.say(answer);
    if (streams === 0) tell('learner', '(nobody was listening)');
  }
  quietSince = Date.now();
}

const problems = [...kiosk.errors.map((error) => `on the console: ${error}`)];
if (!over) problems.push(`the visit stood still; last was said: ${lines.at(-1) ?? 'nothing'}`);
if (loudest < audible) problems.push(`the voice could not be heard (${loudest.toFixed(0)} dBFS at most)`);
await kiosk.close().catch((error) => problems.push(String(error)));
for (const problem of problems) console.log(`PROBLEM: ${problem}`);
console.log(
  `${answered} answers and ${keys} presses of one key in ${Math.round((Date.now() - began) / 1000)} s, the voice at most ${loudest.toFixed(0)} dBFS: ${problems.length === 0 ? 'gone through by ear.' : 'the rehearsal by ear failed.'}`,
);
process.exit(problems.length === 0 ? 0 : 1);
