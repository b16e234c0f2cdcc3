/* What only staff sees, in one piece that the learner's screens do without. */

export { Recordings } from './Recordings';
export { ReviewPage } from './ReviewPage';
export { StartForm } from './StartForm';
export { Visits } from './Visits';
