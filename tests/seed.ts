import fc from 'fast-check';

// The same random cases in every run, so that a red test means a change and not a die. Other cases:
// SEED=<number> npx vitest run --project 'unit*'
fc.configureGlobal({ seed: Number(process.env.SEED ?? 20_260_601) });
