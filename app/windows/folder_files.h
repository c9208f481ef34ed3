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

/// Every file at or anywhere below `paths` that is named like a recording, and every file that is named
/// itself; each once, folder by folder in the order of names, hidden ones left aside. For an import, which
/// takes hundreds at once.
[[nodiscard]] QStringList filesBelow(const QStringList& paths);

/// The files and folders that a text names, one a line, as paths or file URLs; those that are not there are
/// left out.
[[nodiscard]] QStringList pathsIn(const QString& text);

}  // namespace beatwitness::app
