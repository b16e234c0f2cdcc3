import * as z from 'zod/mini';
import { FilingProblem } from './problem';

/** How a resource is written so that a second time makes no second one; 'post': no such way is offered. */
export type Way = 'put-id' | 'put-if' | 'post-if' | 'look-first' | 'post';

/** What a server can do, by its CapabilityStatement (http://hl7.org/fhir/R4/capabilitystatement.html). */
export interface Capability {
  /** Takes a bundle in one step. */
  transaction: boolean;
  /** By resource type; a type that is not there cannot be written. */
  ways: ReadonlyMap<string, Way>;
  /** Types of which what is there can be changed, where it is known. */
  changeable: ReadonlySet<string>;
}

const interactions = z.optional(z.array(z.object({ code: z.optional(z.string()) })));
const offer = z.optional(z.boolean());
/** What is read of it; all else may be there. */
const statementSchema = z.object({
  resourceType: z.literal('CapabilityStatement'),
  rest: z.array(
    z.object({
      mode: z.optional(z.string()),
      interaction: interactions,
      resource: z.optional(
        z.array(
          z.object({
            type: z.optional(z.string()),
            interaction: interactions,
            updateCreate: offer,
            conditionalCreate: offer,
            conditionalUpdate: offer,
          }),
        ),
      ),
    }),
  ),
});

/** @param statement the answer of `/metadata` */
export function readCapability(statement: unknown): Capability {
  const rest = statementSchema.safeParse(statement).data?.rest.find(({ mode }) => mode === 'server');
  if (!rest) {
    throw new FilingProblem(
      'server',
      'What answers is no FHIR server. Ask IT to check the address in site.json and the gateway. (GET metadata.)',
    );
  }
  const ways = new Map<string, Way>();
  const changeable = new Set<string>();
  for (const { type, interaction = [], ...offers } of rest.resource ?? []) {
    const can = (code: string) => interaction.some((each) => each.code === code);
    const way =
      can('update') && offers.updateCreate
        ? 'put-id'
        : can('update') && offers.conditionalUpdate
          ? 'put-if'
          : can('create') && offers.conditionalCreate
            ? 'post-if'
            : can('create') && can('search-type')
              ? 'look-first'
              : can('create')
                ? 'post'
                : null;
    if (type && way) ways.set(type, way);
    if (type && can('update')) changeable.add(type);
  }
  return {
    transaction: (rest.interaction ?? []).some(({ code }) => code === 'transaction'),
    ways,
    changeable,
  };
}

/** A: all in one step. B: one after the other. C: the chart note alone, which many servers take and nothing else. */
export function tierOf({ transaction, ways }: Capability, types: readonly string[]): 'A' | 'B' | 'C' {
  const ofAll = types.map((type) => ways.get(type));
  if (ofAll.every((way) => way && way !== 'post')) {
    // A bundle can say PUT and If-None-Exist, but it cannot look first.
    return transaction && !ofAll.includes('look-first') ? 'A' : 'B';
  }
  if (ways.has('DocumentReference')) return 'C';
  throw new FilingProblem(
    'server',
    'The record server takes neither the visit nor its note from this kiosk. Ask IT to allow DocumentReference at the gateway.',
  );
}
