/** What is looked at: the selected field. Its address is `#field/<id>`. */
export class View {
  private selectedField = $state<string | null>(null);

  get field(): string | null {
    return this.selectedField;
  }

  select(id: string | null): void {
    this.selectedField = id;
  }

  /** Pressing what is selected lets it go. */
  toggle(id: string): void {
    this.selectedField = this.selectedField === id ? null : id;
  }

  get address(): string {
    return this.selectedField === null ? '' : `#field/${encodeURIComponent(this.selectedField)}`;
  }

  goTo(address: string): void {
    const match = /^#field\/(.+)$/.exec(address);
    if (!match) return this.select(null);
    try {
      this.select(decodeURIComponent(match[1]!));
    } catch {
      this.select(null);
    }
  }
}
