/** Other work may keep the machine busy: a test that waits for something is not about how soon it comes, ms. */
export const patience = 30_000;

if (typeof document !== 'undefined')
  (await import('@testing-library/react')).configure({ asyncUtilTimeout: patience });
