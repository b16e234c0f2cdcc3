import { expect, test } from 'vitest';
import { Transcript } from '../../../src/hearing/browser/transcript';
import { FakeRecognition, type Said } from './fake-recognition';

function after(...lists: Said[][]) {
  const transcript = new Transcript('browser-local');
  const source = new FakeRecognition();
  source.addEventListener('result', (event) => transcript.take(event as never));
  for (const list of lists) source.says(list, list.length); // an index past the end is legal
  return transcript;
}
const final = (text: string): Said => ({ text, final: true });

test('finals that are repeated are heard once', () => {
  expect(after([final('shake it'), final('shake it')]).last()?.text).toBe('shake it');
});

test('finals that grow at new indices are heard once', () => {
  const transcript = after([final('shake'), final('shake it'), final('shake it well')]);
  expect(transcript.last()?.text).toBe('shake it well');
});

test('a list that shrinks loses nothing that was final', () => {
  expect(after([final('shake it'), final('take off the cap')], [final('shake it')], []).last()?.text).toBe(
    'shake it take off the cap',
  );
});

test('finals before interims, both in order', () => {
  expect(after([final('shake it'), { text: ' and  then ' }]).heard(true)?.text).toBe('shake it and then');
});

test('a confidence of 0 means that there is none', () => {
  expect(after([{ ...final('shake it'), confidence: 0 }]).last()?.confidence).toBe(0.5);
});

test('nothing said is nothing heard', () => {
  expect(after([], [{ text: '  ' }]).last()).toBeUndefined();
});
