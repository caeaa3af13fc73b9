/** What the tests use of JSTS, a port of the JTS Topology Suite that has no types. */
declare module 'jsts/dist/jsts.min.js' {
  interface Geometry {
    getArea(): number;
    intersection(other: Geometry): Geometry;
    union(other: Geometry): Geometry;
  }
  const jsts: {
    readonly io: { readonly GeoJSONReader: new () => { read(geometry: object): Geometry } };
    readonly operation: {
      readonly valid: {
        readonly IsValidOp: new (
          geometry: Geometry,
        ) => { isValid(): boolean; getValidationError(): { toString(): string } };
      };
    };
  };
  // biome-ignore lint/style/noDefaultExport: it is how the package exports it
  export default jsts;
}
