declare module 'shpjs' {
  interface Parts {
    shp: Uint8Array;
    dbf?: Uint8Array;
    prj?: Uint8Array;
    cpg?: Uint8Array;
  }
  export default function shp(parts: Parts): Promise<import('geojson').FeatureCollection>;
}
