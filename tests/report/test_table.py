"""Tables of pages: columns that hold nothing, words that are broken."""

from ladderfe.report.table import table


def test_a_column_of_nothing_takes_no_room_and_does_no_harm():
    lines = table(["", "weld m", "pieces"], [["", "1.20", "insert"], ["", "2.00", "nothing is done"]], "lrw")
    assert [line.split() for line in lines] == [
        ["weld", "m", "pieces"], ["1.20", "insert"], ["2.00", "nothing", "is", "done"],
    ]  # fmt: skip
