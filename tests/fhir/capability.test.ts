import { describe, expect, it } from 'vitest';
import { readCapability, tierOf } from '../../src/fhir/capability';

const says = (resource: object[], interaction: object[] = []) =>
  readCapability({ resourceType: 'CapabilityStatement', rest: [{ mode: 'server', interaction, resource }] });
const can = (...codes: string[]) => codes.map((code) => ({ code }));

describe('what a server can do', () => {
  it('is read from its CapabilityStatement, the safest way to write first', () => {
    const { ways } = says([
      {
        type: 'A',
        interaction: can('create', 'update', 'search-type'),
        updateCreate: true,
        conditionalUpdate: true,
      },
      { type: 'B', interaction: can('create', 'update'), conditionalUpdate: true, conditionalCreate: true },
      { type: 'C', interaction: can('create', 'update'), conditionalCreate: true },
      { type: 'D', interaction: can('create', 'search-type') },
      { type: 'E', interaction: can('create') },
      { type: 'F', interaction: can('read', 'search-type'), conditionalCreate: true },
    ]);
    expect([...ways]).toEqual([
      ['A', 'put-id'],
      ['B', 'put-if'],
      ['C', 'post-if'],
      ['D', 'look-first'],
      ['E', 'post'],
    ]);
  });

  it('says whether all goes in one step, one by one, or as the note alone', () => {
    const all = [
      { type: 'DocumentReference', interaction: can('create'), conditionalCreate: true },
      { type: 'Task', interaction: can('create'), conditionalCreate: true },
    ];
    const types = ['DocumentReference', 'Task'];
    expect(tierOf(says(all, can('transaction')), types)).toBe('A');
    expect(tierOf(says(all, can('batch')), types)).toBe('B');
    expect(tierOf(says(all.slice(0, 1), can('transaction')), types)).toBe('C');
    const looking = [all[0]!, { type: 'Task', interaction: can('create', 'search-type') }];
    expect(tierOf(says(looking, can('transaction')), types)).toBe('B');
    expect(tierOf(says([all[0]!, { type: 'Task', interaction: can('create') }]), types)).toBe('C');
    expect(() => tierOf(says(all.slice(1)), types)).toThrow(/takes neither the visit nor its note/);
  });

  it.each([null, '', [], { resourceType: 'Patient' }, { resourceType: 'CapabilityStatement' }])(
    'is not read from %j',
    (given) => {
      expect(() => readCapability(given)).toThrow(/no FHIR server/);
    },
  );
});
