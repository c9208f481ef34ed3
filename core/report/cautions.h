#pragma once

#include <span>
#include <string_view>

namespace beatwitness::report {

/// One line that stands wherever results are shown or exported.
[[nodiscard]] std::string_view cautionLine();

/// The same for results pooled over sessions.
[[nodiscard]] std::string_view projectCautionLine();

/// The cautions of a session in full, one sentence each, for write-ups and the About window.
/// Source: field-guide of the project, section 5; the general ones are customary in validation reports.
[[nodiscard]] std::span<const std::string_view> cautions();

}  // namespace beatwitness::report
