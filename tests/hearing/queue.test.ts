import { expect, test } from 'vitest';
import { Queue } from '../../src/hearing/queue';

test('values arrive in order, those before the reader came and those after', async () => {
  const queue = new Queue<number>();
  queue.push(1);
  queue.push(2);
  const seen: number[] = [];
  const reading = (async () => {
    for await (const value of queue) seen.push(value);
  })();
  await Promise.resolve();
  queue.push(3);
  queue.close();
  queue.push(4);
  await reading;
  expect(seen).toEqual([1, 2, 3]);
});
