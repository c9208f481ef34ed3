#pragma once

#include <string>
#include <string_view>

#include "core/recording/text_calendar.h"
#include "core/recording/text_dialect.h"
#include "core/recording/text_times.h"

namespace beatwitness::recording::text {

struct OrderVerdict {
    DateOrder order = DateOrder::DayFirst;
    std::string warning;  ///< empty where the column leaves no doubt
};

/// Whether 03/04/2031 is in April or in March, judged by the whole column.
///
/// A number above 12 decides. Else the order that goes back in time less often, then the one that spans less;
/// where both do as well, day first. Linear in the text.
[[nodiscard]] OrderVerdict dateOrderOf(std::string_view text, const Dialect& dialect,
                                       const TimeLayout& layout);

}  // namespace beatwitness::recording::text
