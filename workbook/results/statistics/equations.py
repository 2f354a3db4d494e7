"""Normal equations of least squares: made, solved, and how far their answers may be off."""

from collections import defaultdict
from collections.abc import Hashable, Sequence

# A pivot smaller than this share of its column's own count is nothing but rounding: the column repeats others.
NOUGHT = 1e-9

Matrix = list[list[float]]
Row = Sequence[tuple[int, float]]  # the columns of a record that are not nought


def normal_equations(rows: Sequence[Row], values: Sequence[float], size: int) -> tuple[Matrix, list[float]]:
    """The equations whose solution has the least squares left over."""
    matrix, right = [[0.0] * size for _ in range(size)], [0.0] * size
    for row, value in zip(rows, values, strict=True):
        for first, one in row:
            right[first] += one * value
            for second, other in row:
                matrix[first][second] += one * other
    return matrix, right


def solve(matrix: Matrix, right: Sequence[float]) -> tuple[list[float | None], Matrix]:
    """The solution of symmetric equations and the inverse; None for an unknown that others already settle, counted as zero.

    Elimination with pivoting on the diagonal; `matrix` is left as it was.
    """
    size = len(right)
    work = [[*row, value, *(float(at == other) for other in range(size))]
            for at, (row, value) in enumerate(zip(matrix, right, strict=True))]
    left, done = set(range(size)), set()
    while left:
        pivot = max(left, key=lambda at: (work[at][at] / (matrix[at][at] or 1.0), -at))
        left.discard(pivot)
        if work[pivot][pivot] <= NOUGHT * matrix[pivot][pivot]:
            continue
        done.add(pivot)
        for row in (at for at in range(size) if at != pivot):
            if factor := work[row][pivot] / work[pivot][pivot]:
                work[row] = [one - factor * other for one, other in zip(work[row], work[pivot], strict=True)]
    answers = [work[at][size] / work[at][at] if at in done else None for at in range(size)]
    inverse = [[work[at][size + 1 + other] / work[at][at] if at in done and other in done else 0.0 for other in range(size)]
               for at in range(size)]
    return answers, inverse


def plain(inverse: Matrix, residuals: Sequence[float], freedom: int) -> Matrix:
    """Covariances of the answers where no record is like another but by its classes."""
    variance = sum(residual**2 for residual in residuals) / freedom if freedom > 0 else 0.0
    return [[variance * cell for cell in row] for row in inverse]


def clustered(
    inverse: Matrix, rows: Sequence[Row], residuals: Sequence[float], clusters: Sequence[Hashable], freedom: int,
) -> Matrix:
    """Covariances of the answers where records of one cluster are alike: Liang and Zeger 1986, Biometrika 73:13."""
    scores: dict[Hashable, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    for row, residual, cluster in zip(rows, residuals, clusters, strict=True):
        for at, one in row:
            scores[cluster][at] += one * residual
    if freedom <= 0 or len(scores) < 2:
        return plain(inverse, residuals, freedom)
    size = len(inverse)
    middle = [[0.0] * size for _ in range(size)]
    for score in scores.values():
        for first, one in score.items():
            for second, other in score.items():
                middle[first][second] += one * other
    correction = len(scores) / (len(scores) - 1) * (len(rows) - 1) / freedom
    half = product(inverse, middle)
    return [[correction * cell for cell in row] for row in product(half, inverse)]


def product(first: Matrix, second: Matrix) -> Matrix:
    """Rows of the first times columns of the second."""
    columns = list(zip(*second, strict=True))
    return [[sum(one * other for one, other in zip(row, column, strict=True)) for column in columns] for row in first]
