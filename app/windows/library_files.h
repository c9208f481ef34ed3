#pragma once

#include <QObject>
#include <QStringList>

#include "app/document/document.h"
#include "app/document/library_document.h"
#include "app/document/stored_session.h"

class QSettings;

namespace beatwitness::app {

class LibraryCommands;
class MatrixPanel;

/// The ending of a library's file name.
inline constexpr auto librarySuffix = ".beatwitness";
[[nodiscard]] bool isLibraryFile(const QString& path);

/// What the commands of the library's file do: new, open, recent, sample, copy, close, and keeping a loose
/// pair. The files that were open are remembered in the settings.
class LibraryFiles : public QObject {
    Q_OBJECT

public:
    static constexpr int mostRecent = 8;

    LibraryFiles(LibraryCommands& commands, LibraryDocument& library, Document& document,
                 StoredSession& session, MatrixPanel& matrix, QSettings& settings, QWidget* window);

    /// The library that was open last, where its file is still there. False without one.
    bool openLast();
    /// The library of the sample sessions, made in the user's data folder at the first call.
    void openSample();
    [[nodiscard]] static bool hasSample();

signals:
    void refused(const QString& headline, const QString& text, const QString& details);
    void noticed(const QString& headline, const QString& text);

private:
    void connectCommands();
    void refresh();
    void askNew();
    void askOpen();
    void askCopy();
    void fillRecent();
    void openRecent(const QString& path);
    void locate(const QString& missing);
    void remember();
    void keepLoosePair();
    void askNameAndKeep();
    void keepAs(const QString& name);

    LibraryCommands& commands_;
    LibraryDocument& library_;
    Document& document_;
    StoredSession& session_;
    MatrixPanel& matrix_;
    QSettings& settings_;
    QWidget* window_;
    bool keepAfterOpening_ = false;  ///< a pair waits for the library that is being opened
    bool openAfterImport_ = false;   ///< the session that is being kept
};

}  // namespace beatwitness::app
