export type { VisitEvent, VisitFact, VisitStart } from './schema';
