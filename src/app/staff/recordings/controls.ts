import type { ListedSentence } from '../../recordings';
import type { Taking } from './useTaking';

/** A button: what it says and does. */
export type Control = readonly [label: string, press: () => void];

export interface Controls {
  /** The big one. */
  act: Control | null;
  others: Control[];
}

/** What can be done now. `sentence`: the one in hand; recordings that are not said any more have none. */
export function controlsOf(
  taking: Taking,
  sentence: ListedSentence | undefined,
  language: string,
  onRecord: () => void,
  onNext: (() => void) | null,
): Controls {
  const { phase } = taking;
  switch (phase.at) {
    case 'opening':
    case 'recording':
      return { act: ['Stop', taking.finish], others: [['Throw away', taking.throwAway]] };
    case 'playing':
      return { act: ['Stop', () => taking.silence(phase.then)], others: [] };
    case 'saving':
      return { act: [phase.act, () => {}], others: [] };
    case 'deleting':
      return {
        act: ['Do not delete', taking.reset],
        others: [['Delete this recording', () => taking.erase(phase.clip)]],
      };
  }
  if (!sentence) return { act: null, others: [] };
  const { clip, state, text, place } = sentence;
  const whole = { language, text, place };
  if (phase.at === 'taken') {
    const { take } = phase;
    const away: Control = ['Throw away', taking.throwAway];
    if (take.verdict === 'empty') return { act: ['Record again', onRecord], others: [away] };
    const instead = state === 'outdated' && clip ? clip.key : undefined;
    return {
      act: ['Keep', () => taking.keep(whole, take, instead)],
      others: [['Listen', () => taking.playTake(take)], ['Record again', onRecord], away],
    };
  }
  const record: Control = [clip ? 'Record again' : 'Record', onRecord];
  const next: Control[] = onNext ? [['Next one to record', onNext]] : [];
  const recorded: Control[] = clip
    ? [
        [state === 'outdated' ? 'Listen to the old one' : 'Listen', () => taking.play(clip)],
        [
          'Delete',
          () => taking.askToErase(clip, 'Delete it? The sentence is then said by the computer voice.'),
        ],
      ]
    : [['Hear the computer voice', () => taking.say(whole)]];
  // When one was kept, it goes on to the next.
  return phase.at === 'kept' && next[0]
    ? { act: next[0], others: [record, ...recorded] }
    : { act: record, others: [...recorded, ...next] };
}
