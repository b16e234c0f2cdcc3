export { type ApprovedAnswer, findAnswer } from './answers';
export { cardsFor, judgeCards } from './cards';
export { phrasesFor } from './hints';
export { interpret, type TurnKind, yesNo } from './interpret';
export { judge } from './judge';
export type { LanguagePack } from './language';
export { languagePack, languagePacks } from './languages';
export { compileStep, type DraftConcept, draftConcepts, type JudgeStep } from './step';
export * from './types';
