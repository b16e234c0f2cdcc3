import { describe, expect, it } from 'vitest';
import { loadLesson, offered } from '../../src/app/lessons';

describe('lessons', () => {
  it('offers the modules that have both teaching and judging texts', async () => {
    const offers = offered();
    expect(offers).toContainEqual({ module: 'inhaler-spacer', language: 'en' });
    for (const { module, language } of offers) {
      const lesson = await loadLesson(module, language);
      expect(lesson.module.id).toBe(module);
      expect(lesson.teaching.language).toBe(language);
    }
  });

  it('says which file is not there', async () => {
    await expect(loadLesson('inhaler-spacer', 'xx')).rejects.toThrow(
      'phrasebanks/inhaler-spacer/xx.teaching.json does not exist',
    );
  });
});
