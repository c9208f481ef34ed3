#pragma once

#include <QStringList>
#include <vector>

namespace beatwitness::app {

/// Files to read, in the order in which they were asked for.
struct FilesToRead {
    QStringList paths;
    std::vector<bool> fromFolder;  ///< one for each path: it was not named, it lay in a folder that was
    int beyond = 0;                ///< files in folders that were passed over because there are too many
};

/// No more files than this are taken from one folder.
inline constexpr int mostFromFolder = 50;

/// Name patterns of the files that may be recordings ("*.fit", …).
[[nodiscard]] QStringList recordingPatterns();

/// `paths` with each folder replaced by the files in it that are named like recordings, sorted by name,
/// hidden files and folders within left aside.
[[nodiscard]] FilesToRead filesIn(const QStringList& paths);

}  // namespace beatwitness::app
