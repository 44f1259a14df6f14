// wants: Cannot find name 'document'
export const title = document.title;
