import { expect, test } from 'vitest';
import { Recorder } from '../../src/app/recorder';
import { record } from '../../src/hearing/audio/record';
import { FakeMicrophone } from '../hearing/embedded/fakes';

function make(mayRecord = () => true) {
  const microphone = new FakeMicrophone();
  const recorder = new Recorder(mayRecord, (request, signal) =>
    record({ ...request, open: microphone.open }, signal),
  );
  return { microphone, recorder };
}

const settle = () => new Promise((done) => setTimeout(done, 0));
const never = new AbortController().signal;

test('nothing is recorded while a visit may listen', async () => {
  const { microphone, recorder } = make(() => false);
  await expect(recorder.start({ done: never })).rejects.toThrow(/visit/);
  expect(microphone.opened).toBe(0);
});

test('stop gives the microphone back before it resolves', async () => {
  const { microphone, recorder } = make();
  const take = recorder.start({ done: never });
  take.catch(() => {});
  await settle();
  expect(microphone.opened - microphone.closed).toBe(1);
  await recorder.stop();
  expect(microphone.opened - microphone.closed).toBe(0);
  await expect(take).rejects.toThrow(/stopped/);
});

test('stop waits for a microphone that is just being opened', async () => {
  const { microphone, recorder } = make();
  microphone.waits = true;
  recorder.start({ done: never }).catch(() => {});
  let stopped = false;
  const stop = recorder.stop().then(() => {
    stopped = true;
  });
  await settle();
  expect(stopped).toBe(false);
  microphone.let();
  await stop;
  expect(microphone.opened - microphone.closed).toBe(0);
});

test('one recording at a time, and another one after it', async () => {
  const { microphone, recorder } = make();
  const done = new AbortController();
  const first = recorder.start({ done: done.signal });
  await expect(recorder.start({ done: never })).rejects.toThrow(/already/);
  await settle();
  microphone.speak(2);
  done.abort();
  expect((await first).verdict).toBe('empty');
  await recorder.stop();
  const second = recorder.start({ done: done.signal });
  expect((await second).verdict).toBe('empty');
  expect(microphone.opened - microphone.closed).toBe(0);
});
