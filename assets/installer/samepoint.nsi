; Puts samepoint into the user's own folder: no administrator is asked, nothing outside of it is touched but the user's
; start menu, file types and list of programs. VERSION, PROGRAM (the folder to install) and TO come from .ci/windows.
Unicode true
Target amd64-unicode
!include "LogicLib.nsh"
Name "samepoint"
OutFile "${TO}"
Icon "${ICON}"
UninstallIcon "${ICON}"
RequestExecutionLevel user
InstallDir "$LOCALAPPDATA\Programs\samepoint"
InstallDirRegKey HKCU "Software\samepoint" "Folder"
SetCompressor /SOLID lzma
SetCompressorDictSize 128
ManifestDPIAware true
ManifestLongPathAware true
VIProductVersion "${VERSION}.0"
VIAddVersionKey "ProductName" "samepoint"
VIAddVersionKey "FileDescription" "Installs samepoint for this user"
VIAddVersionKey "FileVersion" "${VERSION}"
VIAddVersionKey "LegalCopyright" "The makers of samepoint; MIT or Apache-2.0"
LicenseData "${PROGRAM}\LICENSE-MIT.txt"
Page license
Page directory
Page instfiles
UninstPage uninstConfirm
UninstPage instfiles

!define LISTED "Software\Microsoft\Windows\CurrentVersion\Uninstall\samepoint"
!define TYPES "Software\Classes"

!macro type ending words
  WriteRegStr HKCU "${TYPES}\.${ending}\OpenWithProgids" "samepoint.${ending}" ""
  WriteRegStr HKCU "${TYPES}\samepoint.${ending}" "" "${words}"
  WriteRegStr HKCU "${TYPES}\samepoint.${ending}\DefaultIcon" "" "$INSTDIR\samepoint.exe,0"
!macroend

!macro no_type ending
  DeleteRegValue HKCU "${TYPES}\.${ending}\OpenWithProgids" "samepoint.${ending}"
  DeleteRegKey /ifempty HKCU "${TYPES}\.${ending}\OpenWithProgids"
  ; Another program may have taken the ending over meanwhile.
  ReadRegStr $0 HKCU "${TYPES}\.${ending}" ""
  ${If} $0 == "samepoint.${ending}"
    DeleteRegValue HKCU "${TYPES}\.${ending}" ""
  ${EndIf}
  DeleteRegKey /ifempty HKCU "${TYPES}\.${ending}"
  DeleteRegKey HKCU "${TYPES}\samepoint.${ending}"
!macroend

; Of a file that is in use the old one stays, and the installer says so.
Section
  SetOutPath "$INSTDIR"
  File "${PROGRAM}\*.*"
  SetOutPath "$INSTDIR\queries"
  File "${PROGRAM}\queries\*.*"
  SetOutPath "$INSTDIR"
  WriteUninstaller "$INSTDIR\uninstall.exe"
  CreateShortcut "$SMPROGRAMS\samepoint.lnk" "$INSTDIR\samepoint.exe"
  !insertmacro type "samepoint" "Collimation session"
  !insertmacro type "samepoint-check" "Check standard of a collimation station"
  !insertmacro type "samepoint-calibration" "samepoint calibration of a station"
  !insertmacro type "samepoint-study" "Repeatability study of a collimation station"
  WriteRegStr HKCU "${TYPES}\.samepoint" "" "samepoint.samepoint"
  WriteRegStr HKCU "${TYPES}\samepoint.samepoint\shell\open\command" "" '"$INSTDIR\samepoint.exe" "%1"'
  ; Found by its name where one is asked for ("Run"); the user's PATH is left alone.
  WriteRegStr HKCU "Software\Microsoft\Windows\CurrentVersion\App Paths\samepoint.exe" "" "$INSTDIR\samepoint.exe"
  WriteRegStr HKCU "Software\samepoint" "Folder" "$INSTDIR"
  WriteRegStr HKCU "${LISTED}" "DisplayName" "samepoint"
  WriteRegStr HKCU "${LISTED}" "DisplayVersion" "${VERSION}"
  WriteRegStr HKCU "${LISTED}" "DisplayIcon" "$INSTDIR\samepoint.exe,0"
  WriteRegStr HKCU "${LISTED}" "Publisher" "The makers of samepoint"
  WriteRegStr HKCU "${LISTED}" "InstallLocation" "$INSTDIR"
  WriteRegStr HKCU "${LISTED}" "UninstallString" '"$INSTDIR\uninstall.exe"'
  WriteRegStr HKCU "${LISTED}" "QuietUninstallString" '"$INSTDIR\uninstall.exe" /S'
  WriteRegDWORD HKCU "${LISTED}" "NoModify" 1
  WriteRegDWORD HKCU "${LISTED}" "NoRepair" 1
SectionEnd

; Shops, sessions and preferences are the user's and stay.
Section "Uninstall"
  Delete "$INSTDIR\samepoint.exe"
  Delete "$INSTDIR\samepoint.com"
  Delete "$INSTDIR\samepoint-tables.exe"
  Delete "$INSTDIR\README.md"
  Delete "$INSTDIR\LICENSE-MIT.txt"
  Delete "$INSTDIR\LICENSE-APACHE.txt"
  Delete "$INSTDIR\notices.txt"
  Delete "$INSTDIR\samepoint.cdx.json"
  Delete "$INSTDIR\samepoint-tables.cdx.json"
  Delete "$INSTDIR\queries\*.sql"
  RMDir "$INSTDIR\queries"
  Delete "$INSTDIR\uninstall.exe"
  RMDir "$INSTDIR"
  Delete "$SMPROGRAMS\samepoint.lnk"
  !insertmacro no_type "samepoint"
  !insertmacro no_type "samepoint-check"
  !insertmacro no_type "samepoint-calibration"
  !insertmacro no_type "samepoint-study"
  DeleteRegKey HKCU "Software\Microsoft\Windows\CurrentVersion\App Paths\samepoint.exe"
  DeleteRegKey HKCU "${LISTED}"
  DeleteRegKey HKCU "Software\samepoint"
SectionEnd
