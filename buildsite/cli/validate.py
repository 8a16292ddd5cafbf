"""`validate`: published worked examples, recomputed on this machine."""

import click


@click.command()
@click.argument("ids", metavar="[EXAMPLE]...", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Everything as JSON.")
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "markdown"]),
    default="text",
    show_default=True,
    help="A table for the terminal, or a page to print and sign.",
)
def validate(ids: tuple[str, ...], style: str, *, as_json: bool) -> None:
    """
    Recompute the published worked examples, or each EXAMPLE named, and compare.

    Shows source, published and computed value, tolerance and verdict. The exit status
    is 1 if a value differs or an expected flag is missing. Keep the Markdown page as
    your record that the program was validated on this machine.

    Example: buildsite validate b01 b06
    """
    from buildsite.software import software
    from buildsite.validation import report
    from buildsite.validation.comparison import compare_examples

    refuse_unknown(ids)
    everything = compare_examples(ids)
    if as_json:
        click.echo(report.as_json(everything, software()))
    elif style == "markdown":
        click.echo(report.markdown(everything, software()), nl=False)
    else:
        click.echo(report.text(everything))
    raise SystemExit(0 if all(one.good for one in everything) else 1)


def refuse_unknown(ids: tuple[str, ...]) -> None:
    """Refuse an unknown example."""
    from buildsite.validation.comparison import RECOMPUTE

    for id in ids:
        if id not in RECOMPUTE:
            raise click.UsageError(
                f"No example {id!r}. Examples: {', '.join(RECOMPUTE)}."
            )
