export const workFolder: string;
export const commandLine: string;
export function buildCommandLine(): Promise<void>;
export function buildProgram(entry: string, name: string): Promise<string>;
export function sampleFolder(): string;
