/** The files of the model. */
export const modelFiles = { encoder: 'encoder_model.onnx', decoder: 'decoder_model_merged.onnx' } as const;

/** How many of the tokens that may come next are looked at. */
export const LIKELIEST = 12;

/** Names of what the decoder gives in place of its logits: tokens, and natural logarithms of their probabilities. */
export const likeliest = { tokens: 'likeliest.tokens', logs: 'likeliest.logs' } as const;
