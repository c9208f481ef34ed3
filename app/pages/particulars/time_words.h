#pragma once

#include <QString>
#include <QStringList>
#include <optional>
#include <string>

#include "core/library/particulars.h"

/// Instants of a session as people read and type them.
namespace beatwitness::app {

/// "2031-03-02 09:00:00" in `zone` (UTC where it is empty or unknown).
[[nodiscard]] QString instantWords(RecordingTime time, const std::string& zone);
/// The same backwards; the time alone ("09:05", "09:05:30") is of the day of `start`.
[[nodiscard]] std::optional<RecordingTime> parseInstant(const QString& text, const std::string& zone,
                                                        std::optional<Micros> start);

enum class Edge { Begin, End };
/// Sets one edge of the part that counts; an empty text takes the span away. A sentence where it makes no
/// span.
[[nodiscard]] std::optional<QString> takeCounted(library::SessionParticulars& is, const QString& typed,
                                                 Edge edge, std::optional<Micros> start);

[[nodiscard]] QStringList zoneNames();

}  // namespace beatwitness::app
