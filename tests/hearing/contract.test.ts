import { expect, test } from 'vitest';
import { readJudging } from '../../phrasebanks/read';
import { BrowserHearing } from '../../src/hearing/browser/engine';
import { EmbeddedHearing } from '../../src/hearing/embedded/engine';
import { tokens } from '../../src/hearing/embedded/tokens';
import { phrasesFor } from '../../src/scoring';
import { fakeScope } from './browser/fake-recognition';
import { listenTo, settle } from './collect';
import { contract } from './contract';
import { FakeMicrophone, FakeWorker } from './embedded/fakes';
import { sentences } from './sentences';

contract(
  'the embedded engine with a worker that is played',
  () => {
    const microphone = new FakeMicrophone();
    let worker = new FakeWorker();
    const engine = new EmbeddedHearing({
      modelBase: 'https://kiosk.test/model/',
      createWorker: () => worker,
      openMicrophone: microphone.open,
    });
    const turn = async (hears: string | undefined) => {
      worker = new FakeWorker();
      worker.hears = hears;
      const listening = listenTo(engine);
      await settle();
      microphone.speak();
      await settle();
      return listening;
    };
    const finish = async (hears: string | undefined) => {
      const listening = await turn(hears);
      listening.done.abort();
      return listening.over;
    };
    return {
      say: (text) => finish(tokens(text).join(' ')),
      silence: () => finish(undefined),
      async abort() {
        const listening = await turn('never heard');
        listening.stop.abort();
        return listening.over;
      },
    };
  },
  0,
);

contract(
  "the browser's engine with a recogniser that is played",
  () => {
    const { scope, sessions } = fakeScope();
    const engine = new BrowserHearing({ scope });
    const turn = async () => {
      const listening = listenTo(engine);
      await settle();
      sessions[0]!.emit('start');
      sessions[0]!.emit('audiostart');
      return listening;
    };
    return {
      async say(text) {
        const listening = await turn();
        sessions[0]!.emit('speechstart');
        sessions[0]!.says([{ text: text.slice(0, 12) }]);
        sessions[0]!.emit('speechend');
        listening.done.abort();
        sessions[0]!.says([{ text, final: true, others: ['something else'] }]);
        sessions[0]!.emit('end');
        return listening.over;
      },
      async silence() {
        const listening = await turn();
        listening.done.abort();
        sessions[0]!.emit('end');
        return listening.over;
      },
      async abort() {
        const listening = await turn();
        listening.stop.abort();
        return listening.over;
      },
    };
  },
  0,
);

test('the sentences are in no phrasebank', () => {
  const judging = readJudging('inhaler-spacer', 'en');
  const known = new Set(
    phrasesFor(judging, Object.keys(judging.concepts)).map((phrase) => tokens(phrase).join(' ')),
  );
  for (const { text } of sentences) expect(known.has(tokens(text).join(' ')), text).toBe(false);
});
