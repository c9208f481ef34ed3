#include "app/windows/folder_files.h"

#include <QDir>
#include <QDirIterator>
#include <QFileInfo>
#include <QSet>
#include <QUrl>
#include <algorithm>

namespace beatwitness::app {

QStringList recordingPatterns() {
    return {QStringLiteral("*.fit"),  QStringLiteral("*.tcx"),   QStringLiteral("*.gpx"),
            QStringLiteral("*.csv"),  QStringLiteral("*.tsv"),   QStringLiteral("*.txt"),
            QStringLiteral("*.json"), QStringLiteral("*.jsonl"), QStringLiteral("*.hrm"),
            QStringLiteral("*.rr"),   QStringLiteral("*.gz"),    QStringLiteral("*.zip")};
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

QStringList filesBelow(const QStringList& paths) {
    QStringList files;
    QSet<QString> seen;
    const auto take = [&](const QString& path) {
        const QString whole = QFileInfo(path).absoluteFilePath();
        if (seen.contains(whole)) return;
        seen.insert(whole);
        files << whole;
    };
    for (const auto& path : paths) {
        if (!QFileInfo(path).isDir()) {
            take(path);
            continue;
        }
        QStringList below;
        QDirIterator each(path, recordingPatterns(), QDir::Files | QDir::Readable,
                          QDirIterator::Subdirectories);
        while (each.hasNext())
            below << each.next();
        below.sort(Qt::CaseInsensitive);
        for (const auto& file : below)
            take(file);
    }
    return files;
}

QStringList pathsIn(const QString& text) {
    QStringList paths;
    for (const auto& line : text.split(QLatin1Char('\n'), Qt::SkipEmptyParts)) {
        QString path = line.trimmed();
        if (path.startsWith(QLatin1String("file:"))) path = QUrl(path).toLocalFile();
        if (path.startsWith(QLatin1String("~/"))) path = QDir::homePath() + path.mid(1);
        if (!path.isEmpty() && QFileInfo::exists(path)) paths << path;
    }
    return paths;
}

}  // namespace beatwitness::app
