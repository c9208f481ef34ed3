#pragma once

#include <QStringList>

namespace beatwitness::widgets {

/// File names without what they all begin with: "ergometer-5x4-band", "ergometer-5x4-strap" give "band",
/// "strap".
///
/// Words end at a hyphen, underscore, full stop or blank; letter case does not count. As many leading words
/// go as all of `stems` share, yet so many stay that every name keeps a letter; a single name stays whole.
[[nodiscard]] QStringList shortNames(const QStringList& stems);

/// `names` with those that stand there twice numbered in their order: "band 1", "band 2".
[[nodiscard]] QStringList numberedWhereAlike(QStringList names);

}  // namespace beatwitness::widgets
