/** A model that is shipped. */
export interface Model {
  reader: 'transformer' | 'sphinx';
  /** Its folder under the address of the models. */
  folder: string;
  /** Where its files come from. */
  from: { package: string; path: string };
}

/** By language subtag. */
const models: Readonly<Record<string, Model>> = {
  en: {
    reader: 'transformer',
    folder: 'moonshine-tiny-en',
    from: { package: '@moonshine-ai/moonshine-js', path: 'dist/model/tiny/quantized' },
  },
  fr: { reader: 'sphinx', folder: 'fr-fr', from: { package: 'soundswallower', path: 'model/fr-fr' } },
};

/** Undefined where nothing of ours hears the language. */
export const modelFor = (language: string): Model | undefined =>
  models[language.toLowerCase().split('-')[0] ?? ''];
