import { describe, expect, it } from 'vitest';
import { syllables } from '../../src/content/syllables';

// Division into syllables as the dictionaries of the Spanish academy and of French usage print it.
describe('syllables', () => {
  it.each([
    ['agua', 2],
    ['oxígeno', 4],
    ['país', 2],
    ['cuidado', 3],
    ['limpiar', 2],
    ['guía', 2],
    ['quieto', 2],
    ['pingüino', 3],
    ['leer', 2],
    ['muy', 1],
    ['después', 2],
    ['enfermera', 4],
  ])('of the Spanish word %s', (word, size) => expect(syllables(word, 'es')).toBe(size));

  it.each([
    ['eau', 1],
    ['bouche', 1],
    ['inhalateur', 4],
    ['oxygène', 3],
    ['appareil', 3],
    ['masque', 1],
    ['poumons', 2],
    ['théâtre', 2],
    ['les', 1],
    ['médicament', 4],
    ['infirmière', 3],
    ['maïs', 2],
    ['journée', 2],
    ['pluie', 1],
  ])('of the French word %s', (word, size) => expect(syllables(word, 'fr')).toBe(size));
});
