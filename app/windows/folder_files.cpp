#include "app/windows/folder_files.h"

#include <QDir>
#include <QFileInfo>
#include <algorithm>

namespace beatwitness::app {

QStringList recordingPatterns() {
    return {QStringLiteral("*.fit"), QStringLiteral("*.tcx"), QStringLiteral("*.gpx"),
            QStringLiteral("*.csv"), QStringLiteral("*.tsv"), QStringLiteral("*.txt"),
            QStringLiteral("*.gz"),  QStringLiteral("*.zip")};
}

FilesToRead filesIn(const QStringList& paths) {
    FilesToRead files;
    for (const auto& path : paths) {
        if (!QFileInfo(path).isDir()) {
            files.paths << path;
            files.fromFolder.push_back(false);
            continue;
        }
        const QDir folder(path);
        const auto names = folder.entryList(recordingPatterns(), QDir::Files | QDir::Readable,
                                            QDir::Name | QDir::IgnoreCase);
        const auto taken = std::min<qsizetype>(names.size(), mostFromFolder);
        files.beyond += static_cast<int>(names.size() - taken);
        for (const auto& name : names.first(taken)) {
            files.paths << folder.filePath(name);
            files.fromFolder.push_back(true);
        }
    }
    return files;
}

}  // namespace beatwitness::app
