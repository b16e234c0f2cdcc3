import type { SpeakEnd, Speaking } from './types';

/** A voice that failed this many times in a row is left out for a while, ms: a loudspeaker comes back (own choice). */
const patience = 2;
const rest = 300_000;

/**
 * Many voices as one: asks them in order, and the next one goes on from the sentence at which one failed.
 * The end tells which voice spoke last, and in `detail` why those before it did not.
 */
export function chooseVoice(inOrder: readonly Speaking[], now: () => number = Date.now): Speaking {
  const failures = new Map<Speaking, { count: number; last: number }>();
  const rests = (voice: Speaking) => {
    const failed = failures.get(voice);
    return failed !== undefined && failed.count >= patience && now() - failed.last < rest;
  };
  const usable = async (voice: Speaking, language: string) =>
    !rests(voice) && (await voice.available(language).catch(() => false));

  return {
    id: inOrder[0]?.id ?? 'none',
    async available(language) {
      // Captions alone are no voice.
      for (const voice of inOrder) if (voice.id !== 'none' && (await usable(voice, language))) return true;
      return false;
    },
    async speak(request, signal) {
      const why: string[] = [];
      let from = 0;
      for (const voice of inOrder) {
        if (signal.aborted) return { voice: voice.id, reason: 'aborted' };
        if (!(await usable(voice, request.language))) {
          why.push(`${voice.id}: not available`);
          continue;
        }
        const start = from;
        const end: SpeakEnd = await voice.speak(
          {
            ...request,
            sentences: request.sentences.slice(start),
            onSentence: (index) => {
              from = start + index;
              request.onSentence?.(from);
            },
          },
          signal,
        );
        if (end.reason !== 'failed') {
          failures.delete(voice);
          return why.length > 0 ? { detail: why.join('; '), ...end } : end;
        }
        if (!end.blocked) failures.set(voice, { count: (failures.get(voice)?.count ?? 0) + 1, last: now() });
        why.push(`${voice.id}: ${end.detail ?? 'failed'}`);
      }
      return { voice: 'none', reason: 'failed', detail: why.join('; ') || 'no voice was given' };
    },
  };
}
