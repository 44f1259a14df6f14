// wants: is not assignable to type 'number'
export const first: number = new Float64Array(1)[0];
