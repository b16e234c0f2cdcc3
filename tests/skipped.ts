/**
 * For the end of a test's title, so that the list of what was skipped says why.
 * @param why '': it is not skipped
 */
export const skipped = (why: string): string => why && ` (skipped: ${why})`;
