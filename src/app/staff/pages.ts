/* What only staff sees, in one piece that the learner's screens do without. */

export { StaffPage } from './StaffPage';
