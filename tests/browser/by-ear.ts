import { readCommon, readTeaching } from '../../phrasebanks/read';
import type { Kiosk } from './chromium';
import type { Dark } from './dark';
import { answerTo } from './learner';
import { chooseLesson, differs, type Said, until } from './visit';

/** Seconds of silence after which nobody will say anything any more. */
const stuck = 60;
/** A voice is louder than this, dBFS. */
const audible = -55;

/** The clinician's part, who sees the screen: starts a visit by ear of the inhaler with a spacer. */
export async function startByEar({ page }: Kiosk): Promise<void> {
  const { screens } = readCommon('en');
  await until(page, 'the idle screen', ({ screen }) => screen === 'idle');
  await page.getByRole('button', { name: screens.newVisit }).click();
  await page.waitForSelector('[data-screen=start]');
  await chooseLesson(page);
  await page.locator('[name=name]').fill('Practice learner');
  await page.locator('[name=bed]').fill('12');
  await page.locator('[name=staff]').fill('Practice');
  await page.locator('[name=audioOnly]').check();
  await page
    .getByRole('button', { name: /^Start/ })
    .last()
    .click();
}

const plain = (text: string) =>
  text
    .toLowerCase()
    .replace(/[^a-z0-9 ]+/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();

/** What the learner does: says something, presses the key, or finds nothing to be done. */
type Deed = Pick<Said, 'text' | 'step' | 'attempt' | 'asked'> | 'key' | null;

/** A learner who cannot see, and answers to what was said: the one of learner.ts, with all that is missed there. */
export function blindLearner(module: string) {
  const teaching = readTeaching(module, 'en');
  const { prompts } = readCommon('en');
  let last = '';
  const tries = new Map<string, number>();
  /** Are all fixed pieces of a text with slots in what was said? */
  const has = (said: string, text: string) =>
    text.split(/\{\w+\}/).every((piece) => plain(piece).length < 4 || said.includes(plain(piece)));
  const heard = (said: string, prompt: string) => {
    const text = prompts[prompt as keyof typeof prompts];
    if (!text) throw new Error(`there is no prompt "${prompt}"`);
    return has(said, text);
  };
  const short = (text: string): Deed => ({ text, step: '', attempt: 0, asked: [] });
  /** What was said back, of all that was said. */
  const before = (prompts.iHeard ?? '').replace('{text}', '');
  const saidBack = (lines: readonly string[]) =>
    lines.findLast((line) => line.startsWith(before))?.slice(before.length) ?? '';

  return {
    answer(lines: readonly string[]): Deed {
      const said = plain(lines.join(' '));
      const asks = (prompt: string) => heard(said, prompt);
      if (asks('isThatRight')) return short(differs(last, saidBack(lines)) > 0.8 ? 'no' : 'yes');
      if (['soundCheck', 'soundCheckAgain', 'soundCheckLouder'].some(asks))
        return short('yes I can hear you well');
      if (['questionsFirst', 'anyQuestion'].some(asks)) return short('no questions');
      if (asks('showMeLead')) return 'key';
      const asked = Object.entries(teaching.concepts)
        .filter(([, { ask, askPart }]) =>
          [ask, ...Object.values(askPart ?? {})].some((question) => has(said, question)),
        )
        .map(([concept]) => concept);
      if (asked.length > 0) {
        const step = asked[0]!.split('.')[1]!;
        // Asked anew because it was taken down badly, it is the same try; the third way of saying it is the last.
        const attempt = Math.min(3, (tries.get(asked.join()) ?? 1) + 1);
        tries.set(asked.join(), attempt);
        last = answerTo(step, attempt, asked);
        return { text: last, step, attempt, asked };
      }
      for (const [step, { question }] of Object.entries(teaching.steps)) {
        if (!has(said, question.split(/(?<=[.!?]) /).at(-1)!)) continue;
        last = answerTo(step, 1, []);
        return { text: last, step, attempt: 1, asked: [step] };
      }
      return null;
    },
    isOver: (lines: readonly string[]) => heard(plain(lines.join(' ')), 'finished'),
  };
}

export interface ByEar {
  turns: Said[];
  keys: number;
  over: boolean;
  /** dBFS */
  loudest: number;
  /** The last that was said. */
  last: string;
}

export interface Patience {
  /** Seconds of silence after which it is one's turn. */
  turn: number;
  /** true: presses the key at the end of an answer rather than wait until the kiosk notices. */
  hurry: boolean;
  /** Minutes. */
  limit: number;
  tell?: (who: 'kiosk' | 'learner', text: string) => void;
}

/** Goes through a visit that has begun, in the dark. */
export async function goByEar(dark: Dark, { turn, hurry, limit, tell }: Patience): Promise<ByEar> {
  const learner = blindLearner('inhaler-spacer');
  const began = Date.now();
  const found: ByEar = { turns: [], keys: 0, over: false, loudest: -120, last: '' };
  let lines: string[] = [];
  let quietSince = Date.now();
  const press = async () => {
    found.keys++;
    await dark.press();
  };
  while (!found.over && Date.now() - quietSince < stuck * 1000 && Date.now() - began < limit * 60_000) {
    await dark.waits(100);
    const { said, level, goesOn } = await dark.overheard();
    for (const line of said) tell?.('kiosk', line);
    lines.push(...said);
    found.last = said.at(-1) ?? found.last;
    found.loudest = Math.max(found.loudest, level);
    if (level > audible || said.length > 0 || goesOn) quietSince = Date.now();
    found.over = learner.isOver(lines);
    if (found.over || lines.length === 0 || Date.now() - quietSince < turn * 1000) continue;
    const deed = learner.answer(lines);
    if (deed === null) continue;
    const question = lines.at(-1) ?? '';
    lines = [];
    if (deed === 'key') {
      tell?.('learner', '(presses the space bar)');
      await press();
    } else {
      tell?.('learner', deed.text);
      const played = await dark.say(deed.text);
      if (played.streams === 0) tell?.('learner', '(nobody was listening)');
      found.turns.push({ ...played, ...deed, question });
      // Only where an answer has no end that shows: there the key is "I am done".
      if (hurry && deed.asked.length > 0) await press();
    }
    quietSince = Date.now();
  }
  return found;
}
