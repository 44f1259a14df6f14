// wants: Cannot find name 'process'
export const folder = process.cwd();
