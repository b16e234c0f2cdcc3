import { expect, test } from 'vitest';
import { chooseHearing } from '../../src/hearing/choose';
import type { Availability, EngineId, Hearing } from '../../src/hearing/types';

function engine(id: EngineId, available: () => Promise<Availability>): Hearing {
  return {
    id,
    available,
    prepare: available,
    listen: () => {
      throw new Error('not asked to listen');
    },
  };
}
const there = engine('embedded', async () => ({ ok: true }));

test('takes the first engine that is there, and tells why the others were passed over', async () => {
  const { hearing, passedOver } = await chooseHearing(
    [
      engine('browser-local', async () => ({ ok: false, reason: 'language-missing' })),
      engine('browser-cloud', async () => ({ ok: false, reason: 'network', detail: 'No line.' })),
      there,
      engine('typed', async () => {
        throw new Error('never asked');
      }),
    ],
    'en',
  );
  expect(hearing).toBe(there);
  expect(passedOver).toEqual([
    { id: 'browser-local', why: 'It does not know the language.', reason: 'language-missing' },
    { id: 'browser-cloud', why: 'No line.', reason: 'network' },
  ]);
});

test('an engine that throws or never answers does not stop the others', async () => {
  const { hearing, passedOver } = await chooseHearing(
    [
      engine('browser-cloud', async () => {
        throw new Error('broken');
      }),
      engine('browser-local', () => new Promise(() => {})),
      there,
    ],
    'en',
    10,
  );
  expect(hearing).toBe(there);
  expect(passedOver.map(({ why }) => why)).toEqual([
    'It failed when asked: Error: broken',
    'It did not answer whether it is there.',
  ]);
});

test('nobody there is no error', async () => {
  expect(await chooseHearing([], 'en')).toEqual({ hearing: undefined, passedOver: [] });
});
