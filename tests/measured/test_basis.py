from tenter.measured.basis import CalibrationBasis


# The words are the public contract's: files of measurements have them.
def test_the_words_are_those_that_files_have():
    assert [str(basis) for basis in CalibrationBasis] == ["chart", "grey", "relative"]
