import { pause } from './pause';
import { asSpoken } from './spoken';
import type { SpeakEnd, Speaking, SpeakRequest } from './types';

/** What we need of `window.speechSynthesis`; tests give a fake. */
export type Synthesis = Pick<SpeechSynthesis, 'getVoices' | 'speak' | 'cancel' | 'speaking' | 'pending'>;
type MakeUtterance = (text: string) => SpeechSynthesisUtterance;

/** Milliseconds. */
const voicesWait = 5000;
const poll = 200;
const startWait = 4000;

/**
 * Browsers forget utterances that nothing else holds on to, and then their `onend` never comes.
 */
const held = new Set<SpeechSynthesisUtterance>();

/** Longest time a sentence may take: 60 words a minute and 3 seconds. */
const longest = (text: string, rate: number) => 3000 + (text.split(/\s+/).length * 1000) / rate;

/** The local voice for a language: the same region first, then the browser's default, then any. */
function pickVoice(voices: readonly SpeechSynthesisVoice[], language: string) {
  const tag = (voice: SpeechSynthesisVoice) => voice.lang.replace('_', '-').toLowerCase();
  const wanted = language.toLowerCase();
  // A voice from a server would carry the words out of the building, and stops after 15 seconds.
  const local = voices.filter((voice) => voice.localService && tag(voice).slice(0, 2) === wanted.slice(0, 2));
  return local.find((voice) => tag(voice) === wanted) ?? local.find((voice) => voice.default) ?? local[0];
}

/**
 * The computer's own voice, through the browser. Only voices that run on this computer.
 * @param synthesis `window.speechSynthesis`, or undefined where there is none
 */
export function systemVoice(
  synthesis: Synthesis | undefined,
  makeUtterance: MakeUtterance = (text) => new SpeechSynthesisUtterance(text),
): Speaking {
  /** Voices may come late, and `voiceschanged` may never come: so ask again for a while, from the start on. */
  async function lookForVoices(there: Synthesis) {
    for (let waited = 0; there.getVoices().length === 0 && waited < voicesWait; waited += poll) {
      await pause(poll, new AbortController().signal);
    }
  }

  const looked = synthesis && lookForVoices(synthesis);

  async function voiceFor(language: string) {
    if (!synthesis) return undefined;
    await looked;
    return pickVoice(synthesis.getVoices(), language);
  }

  async function saySentence(
    there: Synthesis,
    voice: SpeechSynthesisVoice,
    text: string,
    request: SpeakRequest,
    begun: () => void,
    signal: AbortSignal,
  ): Promise<string | null> {
    const utterance = makeUtterance(text);
    utterance.voice = voice;
    utterance.lang = voice.lang;
    utterance.rate = request.rate;
    utterance.volume = request.volume;

    let state: 'waiting' | 'sounding' | 'over' = 'waiting';
    let problem: string | null = null;
    const wake = new AbortController();
    const start = () => {
      if (state !== 'waiting') return;
      state = 'sounding';
      begun();
    };
    const over = (why: string | null) => {
      if (state === 'over') return;
      state = 'over';
      problem = why;
      wake.abort();
    };
    utterance.onstart = start;
    utterance.onend = () => {
      start();
      over(null);
    };
    utterance.onerror = (event) => over(event.error || 'error');
    held.add(utterance);
    try {
      there.speak(utterance);
      const stop = AbortSignal.any([signal, wake.signal]);
      let quiet = 0;
      for (let waited = 0; state !== ('over' as typeof state) && !signal.aborted; waited += poll) {
        await pause(poll, stop);
        if (there.speaking) start();
        quiet = there.speaking || there.pending ? 0 : quiet + 1;
        // Silent twice in a row after it sounded: its `onend` was lost.
        if (state === 'sounding' && quiet >= 2) over(null);
        if (state === 'waiting' && waited >= startWait) over('did not start');
        if (waited >= startWait + longest(text, request.rate)) over('did not end');
      }
      return problem;
    } finally {
      held.delete(utterance);
      utterance.onstart = null;
      utterance.onend = null;
      utterance.onerror = null;
      if (signal.aborted || problem !== null) there.cancel();
    }
  }

  return {
    id: 'system',
    available: async (language) => (await voiceFor(language)) !== undefined,
    async speak(request, signal) {
      const end = (reason: SpeakEnd['reason'], detail?: string): SpeakEnd => ({
        voice: 'system',
        reason,
        ...(detail ? { detail } : {}),
        ...(detail === 'not-allowed' ? { blocked: true } : {}),
      });
      const voice = await voiceFor(request.language);
      if (signal.aborted) return end('aborted');
      if (!synthesis || !voice) return end('failed', 'no local voice for this language');
      if (synthesis.speaking || synthesis.pending) {
        synthesis.cancel();
        // A sentence given in the same moment as a cancel is swallowed.
        await pause(50, signal);
      }
      for (const [index, sentence] of request.sentences.entries()) {
        if (signal.aborted) return end('aborted');
        const text = asSpoken(sentence, request.language);
        const begun = () => request.onSentence?.(index);
        const problem = await saySentence(synthesis, voice, text, request, begun, signal);
        if (signal.aborted) return end('aborted');
        if (problem !== null) return end('failed', problem);
      }
      return end('finished');
    },
  };
}
