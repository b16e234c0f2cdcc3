/** Is there a model for the language? */
export const readsLanguage = (language: string): boolean => language.toLowerCase().split('-')[0] === 'en';
/** The folder under which it is shipped, and its files, in the order of `ModelFiles`. */
export const modelFolder = 'moonshine-tiny-en';
export const modelFiles = ['encoder_model.onnx', 'decoder_model_merged.onnx'] as const;
/** Where its package has them. */
export const modelPath = 'dist/model/tiny/quantized';
