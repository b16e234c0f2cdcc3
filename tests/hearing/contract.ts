import { describe, expect, test } from 'vitest';
import { tokens } from '../../src/hearing/embedded/tokens';
import type { HearEvent, HearRequest } from '../../src/hearing/types';
import { wordErrorRate, wordErrors } from '../bench/wer';
import { endOf, types } from './collect';
import { sentences } from './sentences';

/** One engine and a way to speak to it. */
export interface Rig {
  /** Starts a turn, waits until it is ready, says the text, says done; gives all events. */
  say(text: string, request: Partial<HearRequest>): Promise<HearEvent[]>;
  /** The same without a word. */
  silence(): Promise<HearEvent[]>;
  /** Starts a turn and aborts it when it is ready. */
  abort(): Promise<HearEvent[]>;
}

/**
 * What every engine owes its caller, whatever is behind it. `mostWrong`: share of words of a sentence that it
 * may mishear.
 */
export function contract(name: string, rig: () => Rig, mostWrong: number): void {
  describe(`${name} keeps the contract`, () => {
    test.each(sentences)('hears: $text', async ({ text, step }) => {
      const events = await rig().say(text, { step });
      expect(types(events)[0]).toBe('ready');
      const finals = events.filter((event) => event.type === 'final');
      expect(finals).toHaveLength(1);
      const { heard } = finals[0]!;
      const rate = wordErrorRate(wordErrors(tokens(text), tokens(heard.text)));
      expect(rate, `heard: ${heard.text}`).toBeLessThanOrEqual(mostWrong);
      expect(heard.confidence).toBeGreaterThan(0);
      expect(heard.confidence).toBeLessThanOrEqual(1);
      if (heard.words)
        expect(tokens(heard.words.map(({ word }) => word).join(' '))).toEqual(tokens(heard.text));
      for (const other of heard.alternatives) expect(other.text).not.toBe(heard.text);
      expect(endOf(events).reason).toBe('finished');
    });

    test('speech starts before it ends, and nothing comes after the end', async () => {
      const events = await rig().say(sentences[6]!.text, { step: 'puff' });
      const order = types(events).filter((type) => type === 'speech-start' || type === 'speech-end');
      expect(order[0] ?? 'speech-start').toBe('speech-start');
      order.forEach((type, i) => {
        if (i > 0) expect(type).not.toBe(order[i - 1]);
      });
      endOf(events);
    });

    test('silence is nothing heard, without a final', async () => {
      const events = await rig().silence();
      expect(types(events)).not.toContain('final');
      expect(endOf(events).reason).toBe('nothing-heard');
    });

    test('aborting ends with aborted, without a final', async () => {
      const events = await rig().abort();
      expect(types(events)).not.toContain('final');
      expect(endOf(events)).toEqual({ type: 'end', reason: 'aborted' });
    });
  });
}
