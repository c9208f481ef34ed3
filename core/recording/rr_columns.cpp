#include "core/recording/rr_columns.h"

#include <algorithm>
#include <cmath>

#include "core/recording/text_numbers.h"

namespace beatwitness::recording::rr {

std::optional<double> millisecondsBy(double median) {
    if (median >= 250.0 && median <= 2500.0) return 1.0;
    if (median >= 0.25 && median <= 2.5) return 1000.0;
    return std::nullopt;
}

double medianOf(std::vector<double> values) {
    if (values.empty()) return 0.0;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::ranges::nth_element(values, middle);
    return *middle;
}

bool ColumnFacts::isEven() const {
    return steps.empty() || std::ranges::all_of(steps, [this](double step) {
               return std::abs(step - steps.front()) <= 1e-6 * std::abs(steps.front()) + 1e-9;
           });
}

ColumnFacts factsOf(const text::Dialect& dialect, std::size_t column, std::size_t skipped) {
    ColumnFacts facts;
    for (std::size_t i = skipped; i < dialect.sample.size(); ++i) {
        const std::string_view cell = dialect.sample[i].field(column);
        if (text::isMissingMark(cell)) continue;
        ++facts.filled;
        const auto number = text::parseNumber(cell, dialect.decimalMark);
        if (!number) {
            facts.words += text::kindOf(cell) == text::CellKind::Word;
            facts.longestWord = std::max(facts.longestWord, cell.size());
            continue;
        }
        if (facts.numbers++ > 0) {
            const double step = *number - facts.values.back();
            facts.steps.push_back(step);
            facts.up += step > 0.0;
            facts.down += step < 0.0;
            facts.byOne += step == 1.0;
        }
        facts.whole += *number == std::floor(*number);
        facts.values.push_back(*number);
    }
    return facts;
}

}  // namespace beatwitness::recording::rr
