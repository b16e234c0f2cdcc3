import { createContext, useContext } from 'react';

/** Says what a thing on the screen is called, where the learner goes by ear and the kiosk is silent. */
export type Name = (text: string) => void;

const Naming = createContext<Name>(() => {});

/** `<NamesBy value={...}>`; without it nothing is named. */
export const NamesBy = Naming.Provider;

export const useNaming = (): Name => useContext(Naming);
