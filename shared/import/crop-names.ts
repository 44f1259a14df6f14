/**
 * What people call the crops, as an id of the crop table.
 * @source Common practice, no source.
 */
const NAMES: Readonly<Record<string, readonly string[]>> = {
  corn: ['corn', 'maize', 'fieldcorn', 'zeamx', 'graincorn', 'zeamays', 'cornmaize', 'maizecorn'],
  soybean: ['soybean', 'soybeans', 'soy', 'soya', 'soyabean', 'beans', 'glxma', 'glycinemax'],
  wheat: [
    'wheat',
    'ww',
    'sw',
    'winterwheat',
    'springwheat',
    'hrww',
    'hrsw',
    'srww',
    'durum',
    'trzax',
    'triticumaestivum',
    'wheatwinter',
    'wheatspring',
    'hardredwinterwheat',
    'hardredspringwheat',
    'softredwinterwheat',
  ],
  cotton: ['cotton', 'uplandcotton', 'goshi', 'gossypiumhirsutum'],
};

export function cropIdOf(text: string): string | null {
  const squashed = text.toLowerCase().replace(/[^a-z]/g, '');
  for (const [id, names] of Object.entries(NAMES)) if (names.includes(squashed)) return id;
  return null;
}
