import { readCommon, readJudging, readTeaching } from '../../phrasebanks/read';
import type { Kiosk } from './chromium';

declare global {
  interface Window {
    /** What was sent to the voice since it was last asked for. */
    voiceText?: string[];
    /** Level of what goes to the loudspeaker now, dBFS. */
    loudness?: () => number;
  }
}

/** Runs in the page before its own script: catches the text on its way to the voice, and listens to the loudspeaker. */
function tapVoice(): void {
  window.voiceText = [];
  window.loudness = () => -120;
  const post = Worker.prototype.postMessage as (this: Worker, ...given: unknown[]) => void;
  Worker.prototype.postMessage = function (this: Worker, ...given: unknown[]) {
    const message = given[0] as { do?: string; text?: string } | undefined;
    if (message?.do === 'synthesize') window.voiceText!.push(message.text ?? '');
    return post.apply(this, given);
  };
  const connect = AudioNode.prototype.connect as (this: AudioNode, ...given: unknown[]) => AudioNode;
  let meter: AnalyserNode | undefined;
  Object.assign(AudioNode.prototype, {
    connect(this: AudioNode, ...given: unknown[]) {
      if (given[0] instanceof AudioDestinationNode) {
        meter ??= new AnalyserNode(this.context, { fftSize: 8192 });
        if (meter.context === this.context) connect.call(this, meter);
      }
      return connect.apply(this, given);
    },
  });
  window.loudness = () => {
    if (!meter) return -120;
    const samples = new Float32Array(meter.fftSize);
    meter.getFloatTimeDomainData(samples);
    const power = samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length;
    return 10 * Math.log10(power + 1e-12);
  };
}

/** Starts to listen; the page is loaded anew. */
export async function listen({ page }: Kiosk): Promise<void> {
  await page.context().addInitScript(tapVoice);
  await page.reload();
}

/** What was said since the last time, and how loud it is now, dBFS. */
export const overheard = ({ page }: Kiosk) =>
  page.evaluate(() => ({ said: window.voiceText!.splice(0), level: window.loudness!() }));

const plain = (text: string) =>
  text
    .toLowerCase()
    .replace(/[^a-z0-9 ]+/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();

/**
 * A learner who cannot see: knows the lesson, and answers to what was said. Forgets `forgotten` the first time its
 * step is asked. 'key' is a press of the one big button, null is nothing to be said to this.
 */
export function blindLearner(module: string, forgotten: string) {
  const teaching = readTeaching(module, 'en');
  const judging = readJudging(module, 'en');
  const { prompts } = readCommon('en');
  let before = '';
  /** Are all fixed pieces of a text with slots in what was said? */
  const has = (said: string, text: string) =>
    text.split(/\{\w+\}/).every((piece) => plain(piece).length < 4 || said.includes(plain(piece)));
  const heard = (said: string, prompt: string) => {
    const text = prompts[prompt as keyof typeof prompts];
    if (!text) throw new Error(`there is no prompt "${prompt}"`);
    return has(said, text);
  };
  const says = (concepts: Iterable<string>) =>
    [...new Set([...concepts].map((concept) => judging.concepts[concept]!.says))].join(' ');

  return {
    answer(lines: readonly string[]): string | 'key' | null {
      const said = plain(lines.join(' '));
      const asks = (prompt: string) => heard(said, prompt);
      if (asks('isThatRight')) return 'yes';
      if (['soundCheck', 'soundCheckAgain', 'soundCheckLouder'].some(asks)) return 'yes I can hear you well';
      if (['questionsFirst', 'anyQuestion'].some(asks)) return 'no questions';
      if (asks('showMeLead')) return 'key';
      const asked = Object.entries(teaching.concepts).filter(([, { ask, askPart }]) =>
        [ask, ...Object.values(askPart ?? {})].some((question) => has(said, question)),
      );
      if (asked.length > 0) return says(asked.map(([concept]) => concept));
      for (const [step, { question }] of Object.entries(teaching.steps)) {
        if (!has(said, question.split(/(?<=[.!?]) /).at(-1)!)) continue;
        const concepts = Object.keys(judging.concepts).filter((id) => id.startsWith(`${module}.${step}.`));
        const first = before !== step;
        before = step;
        return says(first ? concepts.filter((concept) => concept !== forgotten) : concepts);
      }
      return null;
    },
    isOver: (lines: readonly string[]) => heard(plain(lines.join(' ')), 'finished'),
  };
}
