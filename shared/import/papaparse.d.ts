/* The little of papaparse that the core uses; the package's own types would pull in Node's. */
declare module 'papaparse/papaparse.js' {
  interface ParseFault {
    readonly type: string;
    readonly code: string;
    readonly message: string;
    readonly row?: number;
  }
  const Papa: {
    parse(
      text: string,
      options: { delimiter: string; newline: '\n' | '\r'; preview?: number },
    ): { data: string[][]; errors: ParseFault[] };
  };
  export default Papa;
}
