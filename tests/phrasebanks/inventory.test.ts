import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { moduleSchema } from '../../phrasebanks/schema';
import inventory from '../corpora/concepts.json';

const root = new URL('../../', import.meta.url);
const read = (path: string) => JSON.parse(readFileSync(new URL(path, root), 'utf8'));

// A folder becomes a module with its module.json; before that, nothing of it can be taught.
const modules = readdirSync(new URL('phrasebanks/', root)).filter((name) =>
  existsSync(new URL(`phrasebanks/${name}/module.json`, root)),
);

it('finds the modules', () => expect(modules).toContain('inhaler-spacer'));

describe.each(modules)('the module %s', (name) => {
  const module = moduleSchema.parse(read(`phrasebanks/${name}/module.json`));
  const expected = inventory.modules.find((one) => one.id === name);

  it('lives in the folder of its name', () => expect(module.id).toBe(name));

  // A module that is newer than the inventory has its own ids.
  if (!expected) return;
  it('has the steps and concepts of the inventory, in order, with their weights', () => {
    const shape = (steps: { id: string; concepts: { id: string; weight: string }[] }[]) =>
      steps.map((step) => [step.id, step.concepts.map(({ id, weight }) => [id, weight])]);
    expect(shape(module.steps)).toEqual(shape(expected.steps));
  });

  it('has the quantities of the inventory', () => {
    const listed = (steps: { concepts: { id: string; quantity?: unknown; quantities?: unknown }[] }[]) =>
      steps
        .flatMap((step) => step.concepts)
        .flatMap((one) => (one.quantity || one.quantities ? [one] : []))
        .map((one) => [one.id, one.quantities ?? split(one.quantity)]);
    // The inventory hangs a second quantity on the first one as "also".
    const split = (quantity: unknown) => {
      const { also, ...first } = quantity as { also?: unknown };
      return also ? [first, also] : [first];
    };
    expect(listed(module.steps)).toEqual(listed(expected.steps as never));
  });
});
