/* What seals, in one piece that is fetched once the ward has a key. */

export { SealedVisits } from './visits';
